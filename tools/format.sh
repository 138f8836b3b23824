#!/usr/bin/env bash
# clang-format in check mode, and no file over 600 lines.
#   tools/format.sh [ROOT]
set -u
root=${1:-$(cd "$(dirname "$0")/.." && pwd)}
cd "$root" || exit 3
mapfile -t files < <(find core engine edge test fuzz perf -name '*.[ch]' 2>/dev/null | sort)
[ "${#files[@]}" -gt 0 ] || { echo "no C files under $root"; exit 1; }
faults=0
printf '%s\0' "${files[@]}" | xargs -0 -n 40 -P "$(nproc)" clang-format --style=file --dry-run -Werror || faults=1
while read -r lines file; do
    echo "$file: $lines lines, over 600"
    faults=1
done < <(find core engine edge test fuzz perf tools cmake \( -name '*.[ch]' -o -name '*.sh' -o -name '*.cmake' \) 2>/dev/null |
    sort | xargs -r wc -l | awk '$2 != "total" && $1 > 600')
[ "$faults" -eq 0 ]
