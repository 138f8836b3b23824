#!/usr/bin/env bash
# usage: reports.sh FAILS EMPTY CHECKLESS  (the three programs): each exits 1 with its exact words.
set -u
faults=0
expect() { # PROGRAM LINE...
    local program=$1 out status line
    shift
    out=$("$program" 2>&1)
    status=$?
    [ $status -eq 1 ] || { echo "$program: exit $status, expected 1"; faults=1; }
    for line in "$@"; do
        grep -qxF -- "$line" <<<"$out" || { echo "$program: no line \"$line\" in:"; echo "$out"; faults=1; }
    done
}
expect "$1" "FAIL one_is_two (2 checks failed)" "1 passed, 1 failed"
expect "$2" "0 passed, 0 failed" "no case ran: that is a failure"
expect "$3" "FAIL nothing (1 checks failed)" "0 passed, 1 failed"
exit $faults
