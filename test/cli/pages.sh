#!/usr/bin/env bash
# usage: pages.sh FOLDER PROGRAM MAKER: the installed pages are well formed and name every verb; made
# again they are the same.
set -u
pages=$1 program=$2 maker=$3
faults=0
fault() { echo "$*"; faults=1; }
again=$(mktemp -d)
"$maker" "$again" || fault "the pages are not made again"
for page in man bash zsh fish; do
    cmp "$pages/handwright.$page" "$again/handwright.$page" || fault "handwright.$page differs when made again"
done
rm -r "$again"
"$maker" "$again"
[ $? -eq 3 ] || fault "a folder that is not there is no failure"
"$maker"
[ $? -eq 2 ] || fault "no folder at all is no fault"
bash -n "$pages/handwright.bash" || fault "bash refuses its completion"
verbs=$("$program" --help | sed -n 's/^  \([a-z]*\)  .*/\1/p')
[ -n "$verbs" ] || fault "the help names no verb"
for verb in $verbs; do
    for page in man bash zsh fish; do
        grep -qw -- "$verb" "$pages/handwright.$page" || fault "handwright.$page does not name $verb"
    done
    # every option that help shows is in each page
    for option in $("$program" "$verb" --help | sed -n 's/^  ..*--\([a-z]*\).*/\1/p'); do
        for page in bash zsh; do
            grep -q -- "--$option" "$pages/handwright.$page" || fault "handwright.$page lacks --$option"
        done
        grep -q -- "-l $option" "$pages/handwright.fish" || fault "handwright.fish lacks --$option"
        [ "$option" = help ] || grep -q -- "\\\\-\\\\-$option" "$pages/handwright.man" ||
            fault "handwright.man lacks --$option"
    done
done
# what bash offers, asked as the shell asks
offered=$(bash -c '. "$1"; COMP_WORDS=(handwright ""); COMP_CWORD=1; _handwright; echo "${COMPREPLY[*]}"' x \
    "$pages/handwright.bash")
for verb in $verbs; do
    [[ " $offered " == *" $verb "* ]] || fault "bash does not offer $verb: \"$offered\""
done
sides=$(bash -c '. "$1"; COMP_WORDS=(handwright new --side l); COMP_CWORD=3; _handwright; echo "${COMPREPLY[*]}"' x \
    "$pages/handwright.bash")
[ "$sides" = left ] || fault "bash offers \"$sides\" for --side l"
for shell in zsh fish; do
    command -v $shell >/dev/null || { echo "$shell is not here: its page is read by eye only"; continue; }
    $shell -n "$pages/handwright.$shell" || fault "$shell refuses its completion"
done
if command -v groff >/dev/null; then
    warnings=$(groff -man -ww -z -Tutf8 "$pages/handwright.man" 2>&1)
    [ -z "$warnings" ] || fault "groff: $warnings"
fi
exit $faults
