#!/usr/bin/env bash
# clang-tidy with .clang-tidy over core, engine, edge, fuzz and perf. A file whose text, headers and
# rules did not change since it passed is not read again (build/tidy). The same run proves that clang
# takes every file with the warnings of cmake/Rooms.cmake as errors.
#   tools/tidy.sh [--quick] [FILE...]
# --quick: the analyzer follows 75,000 states of a function instead of 225,000: a third of the time.
set -u
cd "$(dirname "$0")/.." || exit 3
mkdir -p build/tidy
export states=225000
[ "${1:-}" = --quick ] && { states=75000; shift; }
if [ $# -gt 0 ]; then files=("$@"); else
    mapfile -t files < <(find core engine edge fuzz perf -name '*.c' | sort)
fi
# clang's own NAN and INFINITY are promotions to it (cmake/Rooms.cmake)
warnings="$(sed -n '/target_compile_options(hw_flags/,/)/p' cmake/Rooms.cmake | grep -o -- '-W[^ )]*' |
    grep -v -e -Werror -e double-promotion | sort -u | tr '\n' ' ')"
export warnings
rules=$(cat .clang-tidy tools/tidy.sh cmake/Rooms.cmake <(find core engine edge -name '*.h' | sort | xargs cat) | sha256sum)
export rules

one() {
    local file=$1 key log
    key=$(cat "$file" - <<<"$rules$file" | sha256sum | cut -c1-40)
    log=build/tidy/$key
    [ -e "$log.ok" ] && return 0
    [ "$states" = 75000 ] && log=$log-quick
    [ -e "$log.ok" ] && return 0
    if clang-tidy --quiet "$file" -- -std=c17 -D_POSIX_C_SOURCE=200809L '-DHW_VERSION="0"' '-DHW_SOURCE_DIR="."' -Icore -Iengine -Iedge -Itest \
        $warnings -Xclang -analyzer-config -Xclang max-nodes="$states" $(pkg-config --cflags cairo pangocairo 2>/dev/null) >"$log" 2>"$log.err"; then
        mv "$log" "$log.ok"
        rm -f "$log.err"
    else
        cat "$log"
        grep -v 'warnings\? generated\|^Suppressed\|^Use -header' "$log.err"
        rm -f "$log" "$log.err"
        return 1
    fi
}
export -f one
printf '%s\0' "${files[@]}" | xargs -0 -n 1 -P "$(nproc)" bash -c 'one "$1" || { echo "FAILED $1"; exit 1; }' tidy
status=$?
echo "${#files[@]} files"
[ $status -eq 0 ]
