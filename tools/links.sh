#!/usr/bin/env bash
# Every relative link of every Markdown page leads to a file, and every #anchor to a heading.
#   tools/links.sh [ROOT]
set -u
root=${1:-$(cd "$(dirname "$0")/.." && pwd)}
cd "$root" || exit 3
faults=0 links=0
anchors() { # headings of a page in the form that web viewers give them
    sed -n 's/^##* *//p' "$1" | tr '[:upper:]' '[:lower:]' | sed -E 's/[^a-z0-9 _-]//g; s/ /-/g'
}
while IFS= read -r page; do
    while IFS= read -r link; do
        case $link in http://* | https://* | mailto:*) continue ;; esac
        links=$((links + 1))
        file=${link%%#*} anchor=
        [[ $link == *#* ]] && anchor=${link#*#}
        target=$page
        [ -n "$file" ] && target=$(dirname "$page")/$file
        if [ ! -e "$target" ]; then
            echo "$page: link to \"$link\" leads nowhere"
            faults=1
        elif [ -n "$anchor" ] && [ -f "$target" ] && ! anchors "$target" | grep -qxF -- "$anchor"; then
            echo "$page: \"$link\": no such heading"
            faults=1
        fi
    done < <(grep -oE '\]\([^) ]+\)' "$page" | sed 's/^](//; s/)$//')
done < <(find . -name '*.md' -not -path './build/*' -not -path './.git/*' | sort)
[ "$links" -gt 0 ] || { echo "no links found under $root: nothing to check"; exit 1; }
[ "$faults" -eq 0 ]
