#!/usr/bin/env bash
# Nothing in the repository names this machine or a package host, and no code is left half done.
#   tools/names.sh [ROOT]
# The words are written in two halves here, so that this file does not accuse itself.
set -u
root=${1:-$(cd "$(dirname "$0")/.." && pwd)}
cd "$root" || exit 3
if git rev-parse --is-inside-work-tree >/dev/null 2>&1 && [ -e .git ]; then
    list() { git ls-files -z --cached --others --exclude-standard; }
else
    list() { find . -type f -not -path './build/*' -print0; }
fi
faults=0
seek() { # MESSAGE PATTERN [files to look at, as a pattern]
    local hits
    hits=$(list | { [ $# -gt 2 ] && grep -zE "$3" || cat; } | xargs -0 -r grep -nIE "$2" 2>/dev/null)
    [ -z "$hits" ] && return
    sed "s|\$|  <- $1|" <<<"$hits"
    faults=1
}
hosts='(pypi|npm''js|crates|docker|debian|ubuntu|rubygems|conda|maven)\.(org|io|com)|registry\.|proxy\.golang|githubuser''content'
seek "package host" "$hosts"
seek "path of one machine" '(^|[^A-Za-z0-9_.])/(ho''me|ro''ot|wo''rk|Us''ers)/[A-Za-z0-9_.]'
half='TO''DO|FIX''ME|(^|[^X])XX''X([^X]|$)|HA''CK([^A-Z]|$)|[Ff]or no''w[,.;: )]|[Pp]lace''holder|[Nn]ot (yet )?imple''mented|[Ss]tub''bed'
seek "unfinished" "$half" '\.(c|h|sh|cmake|txt|yaml|yml|html|js|css)$'
[ "$faults" -eq 0 ]
