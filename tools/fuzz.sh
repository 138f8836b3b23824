#!/usr/bin/env bash
# Runs every fuzz target with its kept corpus.
#   tools/fuzz.sh [SECONDS-EACH]
set -u
seconds=${1:-8}
cd "$(dirname "$0")/.." || exit 3
cmake --preset fuzz -G Ninja && cmake --build build/fuzz || exit 1
passed=0 failed=0
for target in build/fuzz/fuzz/fuzz_*; do
    [ -x "$target" ] && [ -f "$target" ] || continue
    name=${target##*/fuzz_}
    mkdir -p "build/fuzz/found/$name" "fuzz/corpus/$name"
    options=(-max_total_time="$seconds" -timeout=10 -rss_limit_mb=2048 -print_final_stats=1
        -artifact_prefix="build/fuzz/found/$name-")
    [ -f "fuzz/$name.dict" ] && options+=(-dict="fuzz/$name.dict")
    echo "== $name"
    if "$target" "${options[@]}" "build/fuzz/found/$name" "fuzz/corpus/$name" 2>&1 | tail -n 25
        [ "${PIPESTATUS[0]}" -eq 0 ]; then
        passed=$((passed + 1))
    else
        failed=$((failed + 1))
    fi
done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
