#!/usr/bin/env bash
# Every double in a public header's struct or parameter list carries a [unit] tag: in a comment on
# its declaration's lines, in the lines that continue that comment, or right above the declaration.
# Private headers (ROOM_internal.h) and code that is included (NAME_body.h) are free.
#   tools/units.sh [ROOT]
set -u
root=${1:-$(cd "$(dirname "$0")/.." && pwd)}
cd "$root" || exit 3
mapfile -t headers < <(find core engine edge -name '*.h' ! -name '*_internal.h' ! -name '*_body.h' 2>/dev/null | sort)
[ "${#headers[@]}" -gt 0 ] || { echo "no headers under $root"; exit 1; }
awk -f "$(dirname "$0")/units.awk" "${headers[@]}"
