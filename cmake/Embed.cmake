# Turns data files into one C file of byte arrays.
#   cmake -DOUT=file.c -DROOT=dir -DFILES=a.yaml,b.yaml -P Embed.cmake
string(REPLACE "," ";" files "${FILES}")
set(arrays "")
set(rows "")
set(count 0)
foreach(file IN LISTS files)
  file(READ "${ROOT}/${file}" hex HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "'\\\\x\\1'," bytes "${hex}")
  string(REGEX REPLACE "(('[^']*',){16})" "\\1\n    " bytes "${bytes}")
  string(APPEND arrays "static const char file_${count}[] = {\n    ${bytes}'\\0'};\n\n")
  string(APPEND rows "    {\"${file}\", file_${count}, sizeof file_${count} - 1},\n")
  math(EXPR count "${count} + 1")
endforeach()
file(WRITE "${OUT}.new" "// Made from ${FILES}: edit those.\n#include \"design/catalogue_internal.h\"\n\n${arrays}"
  "const hw_catalogue_file hw_catalogue_file_table[] = {\n${rows}};\n"
  "const size_t hw_catalogue_file_count = ${count};\n")
file(RENAME "${OUT}.new" "${OUT}")
