#!/usr/bin/env bash
# Runs every fuzz target with its kept corpus.
#   tools/fuzz.sh [SECONDS-EACH]
set -u
seconds=${1:-8}
cd "$(dirname "$0")/.." || exit 3
cmake --preset fuzz -G Ninja || exit 1
# only the targets: that clang takes every other file is tools/tidy.sh's to prove
mapfile -t targets < <(find fuzz -maxdepth 1 -name 'fuzz_*.c' -exec basename {} .c \;)
cmake --build build/fuzz -j "$(nproc)" --target "${targets[@]}" || exit 1
passed=0 failed=0 waiting=()

# fuzz TARGET: its log ends in build/fuzz/found/NAME.log
fuzz() {
    local target=$1 name=${1##*/fuzz_}
    mkdir -p "build/fuzz/found/$name" "fuzz/corpus/$name"
    local options=(-max_total_time="$seconds" -timeout=10 -rss_limit_mb=2048 -print_final_stats=1
        -artifact_prefix="build/fuzz/found/$name-")
    [ -f "fuzz/$name.dict" ] && options+=(-dict="fuzz/$name.dict")
    "$target" "${options[@]}" "build/fuzz/found/$name" "fuzz/corpus/$name" >"build/fuzz/found/$name.log" 2>&1
}
# Waits for the target that was started first and counts it.
collect() {
    local name=${waiting[0]%%:*} pid=${waiting[0]##*:}
    waiting=("${waiting[@]:1}")
    if wait "$pid"; then passed=$((passed + 1)); else failed=$((failed + 1)); fi
    echo "== $name"
    tail -n 25 "build/fuzz/found/$name.log"
}
mkdir -p build/fuzz/found
for target in build/fuzz/fuzz/fuzz_*; do
    [ -x "$target" ] && [ -f "$target" ] || continue
    fuzz "$target" &
    waiting+=("${target##*/fuzz_}:$!")
    [ ${#waiting[@]} -lt "$(nproc)" ] || collect
done
while [ ${#waiting[@]} -gt 0 ]; do collect; done
echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
