#!/usr/bin/env bash
# cppcheck over our sources; what is switched off is listed with its reason.
#   tools/cppcheck.sh [ROOT]
set -u
here=$(cd "$(dirname "$0")/.." && pwd)
root=${1:-$here}
cd "$root" || exit 3
mapfile -t dirs < <(ls -d core engine edge fuzz perf 2>/dev/null)
mkdir -p build/cppcheck
cppcheck --quiet --std=c11 --language=c --enable=warning,style,performance,portability --inline-suppr \
    --suppressions-list="$here/tools/cppcheck.txt" --error-exitcode=1 -j "$(nproc)" \
    --cppcheck-build-dir=build/cppcheck -Icore -Iengine -Iedge -Itest \
    --template='{file}:{line}: {id}: {message}' -D_POSIX_C_SOURCE=200809L "${dirs[@]}"
