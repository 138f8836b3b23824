#!/usr/bin/env bash
# Line and branch coverage of core, engine and edge by the tests; fails below the floor.
#   tools/coverage.sh [--counted]
# --counted: what build/cov's last run of tests has counted (./check --long runs its sanitizers there).
set -u
floor_lines=${HW_COVERAGE_LINES:-95}
cd "$(dirname "$0")/.." || exit 3
if [ "${1:-}" != --counted ]; then
    cmake --preset cov -G Ninja && cmake --build build/cov || exit 1
    find build/cov -name '*.gcda' -delete
    export LSAN_OPTIONS=suppressions=$PWD/tools/lsan.txt:print_suppressions=0
    ctest --test-dir build/cov --no-tests=error -j "$(nproc)" -LE 'long|bare' --timeout 600 --output-on-failure || exit 1
fi
gcovr --root . --object-directory build/cov --filter 'core/' --filter 'engine/' --filter 'edge/' \
    --exclude-unreachable-branches --print-summary --fail-under-line "$floor_lines" \
    --sort-percentage --json-summary build/cov/coverage.json --txt build/cov/coverage.txt
status=$?
tail -n 5 build/cov/coverage.txt
exit $status
