#!/usr/bin/env bash
# Checks which room includes which.
#   tools/layers.sh [ROOT]
# 1. No loop among the rooms (tsort). 2. Only the directions of tools/layers.txt, direct or through
# a room below. 3. Inside core/ only the C library's headers that neither print, read nor tell time.
# 4. Below edge/ nothing prints, exits or depends on the locale.
set -u
root=${1:-$(cd "$(dirname "$0")/.." && pwd)}
table=$(cd "$(dirname "$0")" && pwd)/layers.txt
cd "$root" || exit 3
faults=0
fault() { echo "$*"; faults=$((faults + 1)); }

pairs=$(mktemp) allowed=$(mktemp)
trap 'rm -f "$pairs" "$allowed"' EXIT

# file:line including-room included-room
find core engine edge -mindepth 2 \( -name '*.c' -o -name '*.h' \) 2>/dev/null | sort |
    xargs -r grep -nHE '^[ \t]*#[ \t]*include[ \t]*"' |
    sed -nE 's|^([^/]*/([^/]*)/[^:]*:[0-9]+):[ \t]*#[ \t]*include[ \t]*"([^"/]*)/.*|\1 \2 \3|p' >"$pairs"
[ -s "$pairs" ] || fault "no includes found under $root: nothing to check"

if ! loop=$(awk '{print $2, $3}' "$pairs" | sort -u | tsort 2>&1 >/dev/null); then
    fault "rooms include each other in a loop:"
    echo "$loop"
fi

# Closure of the table: a room may include what its allowed rooms may include; all may include base.
awk '
    /^#/ || NF == 0 { next }
    { room = $1; sub(/:$/, "", room); known[room] = 1
      for (i = 2; i <= NF; i++) may[room, $i] = 1 }
    END {
        do {
            grew = 0
            for (a in known) for (b in known) if ((a, b) in may)
                for (c in known) if ((b, c) in may && !((a, c) in may)) { may[a, c] = 1; grew = 1 }
        } while (grew)
        for (a in known) { print a, a; print a, "base"; for (b in known) if ((a, b) in may) print a, b }
    }' "$table" | sort -u >"$allowed"
while read -r place from to; do
    grep -qx "$from $to" "$allowed" || fault "$place: room \"$from\" may not include \"$to\" (tools/layers.txt)"
done < <(sort -u -k2,3 "$pairs")

# The engine's files know no edge by construction of the table; core also knows few system headers.
system='assert|errno|fenv|float|inttypes|limits|math|stdarg|stdbool|stddef|stdint|stdlib|string'
while IFS=: read -r file line text; do
    header=$(sed -E 's/.*<([^>]*)>.*/\1/' <<<"$text")
    case "$file $header" in
    "core/base/text.c stdio.h" | "core/base/arena.c sanitizer/asan_interface.h" | "core/base/par.c pthread.h") ;;
    *) fault "$file:$line: core may not include <$header>" ;;
    esac
done < <(find core \( -name '*.c' -o -name '*.h' \) 2>/dev/null | sort |
    xargs -r grep -nHE '^[ \t]*#[ \t]*include[ \t]*<' | grep -vE "<($system)\.h>")

calls='printf|fprintf|vprintf|vfprintf|puts|putchar|fputs|fputc|perror|exit|_Exit|abort|setlocale|strtod|strtof|atof|scanf|sscanf'
while IFS= read -r hit; do
    fault "$hit: not below edge/"
done < <(find core engine -name '*.[ch]' 2>/dev/null | sort |
    xargs -r grep -nHE "(^|[^A-Za-z0-9_>.\"])($calls) ?\(" | sed 's|[ \t]*//.*||' |
    grep -E "(^|[^A-Za-z0-9_>.\"])($calls) ?\(" | grep -vE '__attribute__')

[ "$faults" -eq 0 ]
