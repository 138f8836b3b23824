# Flags that every room of ours is compiled with, and the functions that declare rooms, tests and fuzz targets.
#   hw_room(linkage SOURCES fourbar.c ... USES base)        an object library hw_linkage; USES are the rooms it may include
#   hw_test(linkage/fourbar SOURCES test_fourbar.c USES linkage [LIBS m gsl] [ARGS ...])
#   hw_fuzz(reader SOURCES fuzz_reader.c USES design)       build/fuzz/fuzz/fuzz_reader; kept inputs in fuzz/corpus/reader
# Includes are written from the layer folder: #include "linkage/linkage.h".

add_library(hw_flags INTERFACE)
target_compile_options(hw_flags INTERFACE
  -ffp-contract=off -fno-fast-math -fno-math-errno -fvisibility=hidden
  -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion -Wdouble-promotion
  -Wstrict-prototypes -Wmissing-prototypes -Wundef -Wvla -Wcast-qual -Wwrite-strings
  -Wformat=2 -Wswitch-enum -Werror)
# clang calls the C library's own NAN and INFINITY a promotion; gcc checks ours.
target_compile_options(hw_flags INTERFACE $<$<C_COMPILER_ID:Clang>:-Wno-double-promotion>)
target_compile_definitions(hw_flags INTERFACE _POSIX_C_SOURCE=200809L)
target_include_directories(hw_flags INTERFACE
  ${PROJECT_SOURCE_DIR}/core ${PROJECT_SOURCE_DIR}/engine ${PROJECT_SOURCE_DIR}/edge)

function(hw_room name)
  cmake_parse_arguments(R "" "" "SOURCES;USES;LIBS" ${ARGN})
  add_library(hw_${name} OBJECT ${R_SOURCES})
  target_link_libraries(hw_${name} PRIVATE hw_flags)
  target_link_libraries(hw_${name} PUBLIC m ${R_LIBS})
  foreach(use IN LISTS R_USES)
    target_link_libraries(hw_${name} PUBLIC hw_${use})
  endforeach()
  set_property(GLOBAL APPEND PROPERTY HW_ROOMS ${name})
  set_property(GLOBAL PROPERTY HW_ROOM_USES_${name} "${R_USES}")
endfunction()

# All rooms that the named rooms reach, each once, in HW_CLOSURE of the caller.
function(hw_closure out)
  set(open ${ARGN})
  set(seen)
  while(open)
    list(POP_FRONT open one)
    if(NOT one IN_LIST seen)
      list(APPEND seen ${one})
      get_property(uses GLOBAL PROPERTY HW_ROOM_USES_${one})
      list(APPEND open ${uses})
    endif()
  endwhile()
  set(${out} ${seen} PARENT_SCOPE)
endfunction()

# Links an executable with the objects of the named rooms and of all rooms below them.
function(hw_link target)
  hw_closure(rooms ${ARGN})
  foreach(room IN LISTS rooms)
    target_link_libraries(${target} PRIVATE hw_${room})
  endforeach()
endfunction()

function(hw_test name)
  cmake_parse_arguments(T "" "" "SOURCES;USES;LIBS;ARGS" ${ARGN})
  string(REPLACE "/" "_" target "test_${name}")
  add_executable(${target} ${T_SOURCES})
  target_link_libraries(${target} PRIVATE hw_flags m ${T_LIBS})
  target_include_directories(${target} PRIVATE ${PROJECT_SOURCE_DIR}/test)
  target_compile_definitions(${target} PRIVATE HW_SOURCE_DIR="${PROJECT_SOURCE_DIR}")
  hw_link(${target} ${T_USES})
  add_test(NAME ${name} COMMAND ${target} ${T_ARGS})
  # Tests share the cores: a thread that waits must not turn in a loop.
  set_tests_properties(${name} PROPERTIES ENVIRONMENT OMP_WAIT_POLICY=passive)
endfunction()

# The thread sanitizer's test NAME_threads: the cases of NAME that share work among threads, each kind once.
function(hw_threads name)
  if(NOT HW_OWN_THREADS)
    return()
  endif()
  string(REPLACE "/" "_" target "test_${name}")
  add_test(NAME ${name}_threads COMMAND ${target} threads)
  set_tests_properties(${name}_threads PROPERTIES LABELS threads COST 50)
endfunction()

# A fuzz target defines LLVMFuzzerTestOneInput. With HW_FUZZ (clang) it becomes a fuzzer; in every other build it becomes
# the test fuzz/NAME, which replays the kept inputs, so that what was once found stays found under each compiler.
function(hw_fuzz name)
  cmake_parse_arguments(F "" "" "SOURCES;USES;LIBS" ${ARGN})
  if(HW_FUZZ)
    add_executable(fuzz_${name} ${F_SOURCES})
    target_link_options(fuzz_${name} PRIVATE -fsanitize=fuzzer)
  else()
    add_executable(fuzz_${name} ${F_SOURCES} ${PROJECT_SOURCE_DIR}/fuzz/replay.c)
    add_test(NAME fuzz/${name} COMMAND fuzz_${name} ${PROJECT_SOURCE_DIR}/fuzz/corpus/${name})
  endif()
  target_link_libraries(fuzz_${name} PRIVATE hw_flags m ${F_LIBS})
  hw_link(fuzz_${name} ${F_USES})
endfunction()
