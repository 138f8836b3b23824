#!/usr/bin/env bash
# Reads ctest's JUnit report and prints "N passed, N failed" as the last line. A skipped or disabled
# test did not pass: it is named and counted as failed, for nothing here may be skipped in silence.
set -u
report=${1:?"usage: ctest_count.sh REPORT.xml"}
[ -s "$report" ] || { echo "ctest wrote no report"; exit 1; }
field() { sed -n '/<testsuite /,/>/p' "$report" | tr '\n\t' '  ' | sed -n "s/.* $1=\"\([0-9]*\)\".*/\1/p"; }
tests=$(field tests) failures=$(field failures) disabled=$(field disabled) skipped=$(field skipped)
[ -n "$tests" ] && [ -n "$failures" ] || { echo "\"$report\" is not a test report"; exit 1; }
bad=$((failures + ${disabled:-0} + ${skipped:-0}))
sed -n 's/.*<testcase name="\([^"]*\)".*status="\(fail\|disabled\|notrun\)".*/    \2: \1/p' "$report"
echo "$((tests - bad)) passed, $bad failed"
