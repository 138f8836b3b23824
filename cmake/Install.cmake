# The library that others link (core and engine, static: docs/decisions/0020), its headers and its pkg-config file.
# The program, its man page and completions are installed by edge/cli.
include(GNUInstallDirs)

add_library(handwright_lib STATIC)
set_target_properties(handwright_lib PROPERTIES OUTPUT_NAME handwright LINKER_LANGUAGE C)
get_property(rooms GLOBAL PROPERTY HW_ROOMS)
set(umbrella)
set(libraries)
foreach(room IN LISTS rooms)
  get_target_property(folder hw_${room} SOURCE_DIR)
  if(NOT folder MATCHES "/(core|engine)/[a-z]+$")
    continue()
  endif()
  target_sources(handwright_lib PRIVATE $<TARGET_OBJECTS:hw_${room}>)
  get_target_property(links hw_${room} LINK_LIBRARIES)
  foreach(link IN LISTS links)
    if(link MATCHES "OpenMP")
      list(APPEND libraries -fopenmp)
    elseif(link MATCHES "^PkgConfig::")
      string(TOLOWER "${link}" link)
      string(REPLACE "pkgconfig::" "-l" link "${link}")
      list(APPEND libraries ${link})
    elseif(link MATCHES "^-")
      list(APPEND libraries ${link})
    elseif(NOT link MATCHES "^(hw_.*|\\$<.*|m)$")
      list(APPEND libraries -l${link})
    endif()
  endforeach()
  file(GLOB headers CONFIGURE_DEPENDS ${folder}/*.h)
  list(FILTER headers EXCLUDE REGEX "_(internal|body)\\.h$")
  install(FILES ${headers} DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/handwright/${room})
  foreach(header IN LISTS headers)
    cmake_path(GET header FILENAME name)
    string(APPEND umbrella "#include \"${room}/${name}\"\n")
  endforeach()
endforeach()
list(REMOVE_DUPLICATES libraries)
list(JOIN libraries " " libraries)

set(hw_header ${PROJECT_BINARY_DIR}/include/handwright.h)
file(CONFIGURE OUTPUT ${hw_header} @ONLY CONTENT
"// Every public header of the library. Single ones may be included instead: #include \"linkage/linkage.h\".
#ifndef HW_HANDWRIGHT_H
#define HW_HANDWRIGHT_H

@umbrella@
#endif
")
# The prefix is found from the file's own place, so that an installed tree may be moved.
file(RELATIVE_PATH up /${CMAKE_INSTALL_LIBDIR}/pkgconfig /)
string(REGEX REPLACE "/$" "" up "${up}")
file(CONFIGURE OUTPUT ${PROJECT_BINARY_DIR}/handwright.pc @ONLY CONTENT
"prefix=\${pcfiledir}/@up@
libdir=\${prefix}/@CMAKE_INSTALL_LIBDIR@
includedir=\${prefix}/@CMAKE_INSTALL_INCLUDEDIR@

Name: handwright
Description: @PROJECT_DESCRIPTION@
Version: @PROJECT_VERSION@
Libs: -L\${libdir} -lhandwright @libraries@ -lm
Cflags: -I\${includedir}/handwright
")
install(TARGETS handwright_lib ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR})
install(FILES ${hw_header} DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/handwright)
install(FILES ${PROJECT_BINARY_DIR}/handwright.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
install(FILES ${PROJECT_SOURCE_DIR}/LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR})
