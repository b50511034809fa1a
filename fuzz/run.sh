#!/usr/bin/env bash
# Runs fuzz targets in turn, each for a while, round after round, and keeps
# count: fuzz/run.sh [SECONDS_EACH [ROUNDS [TARGET...]]]
# A crasher is kept under fuzz/artifacts/TARGET/, and the round goes on.
set -u
cd "$(dirname "$0")"
each=${1:-60}
rounds=${2:-1}
shift 2 2>/dev/null || shift $#
targets=("$@")
[ ${#targets[@]} -gt 0 ] || targets=(reading maths sheets words judge requests marking quiz proofs journal pairs)
[ -d corpus ] || python3 seeds.py >/dev/null
# The stack that a main thread has on the meanest system; what needs more is a
# crasher.
ulimit -s 1024
for ((round = 0; round < rounds; round++)); do
    for target in "${targets[@]}"; do
        case $target in
        sheets | proofs | quiz) longest=800 ;;
        marking | journal | judge) longest=1500 ;;
        *) longest=300 ;;
        esac
        mkdir -p "corpus/$target" "artifacts/$target"
        log=$(mktemp)
        "${BIN:-target/x86_64-unknown-linux-gnu/release}/$target" "corpus/$target" \
            -max_total_time="$each" -timeout=20 -rss_limit_mb=1024 -max_len=$longest \
            -artifact_prefix="artifacts/$target/" -dict="dictionaries/maths" \
            -print_final_stats=1 >"$log" 2>&1
        status=$?
        inputs=$(sed -n 's/^stat::number_of_executed_units: *//p' "$log" | tail -1)
        echo "$(date +%H:%M:%S) $target ${inputs:-0} status $status" >>artifacts/counts
        if [ "$status" -ne 0 ]; then
            cp "$log" "artifacts/$target/log-$(date +%H%M%S)"
        fi
        rm -f "$log"
        # What ends at once is no fuzzing.
        [ -n "$inputs" ] || exit 1
    done
done
