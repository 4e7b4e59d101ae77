#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Intake of a 12 h, 24 Hz CTD log beside the reference of the same run: sqlite3's .import of the same file into a
# bare table. The two take turns, and the best of each counts, so that other work on the machine matters less.
#   tests/bench/intake_bench.sh [BUILD [ROUNDS [HOURS [LOG]]]]
set -euo pipefail
source=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
build=${1:-$source/build}
rounds=${2:-3}
hours=${3:-12}
bench=$build/tests/bench/intake_bench
export HOLDFAST_SOURCE_DIR=$source
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
log=${4:-$work/ctd.csv}
[ -f "$log" ] || "$bench" make "$log" "$hours"

best_reference=999
best_intake=999
for round in $(seq "$rounds"); do
    rm -f "$work"/bare.db "$work"/cruise.hfc*
    start=$(date +%s.%N)
    sqlite3 "$work/bare.db" ".mode csv" ".import $log ctd"
    reference=$(awk -v a="$start" -v b="$(date +%s.%N)" 'BEGIN { print b - a }')
    start=$(date +%s.%N)
    "$bench" take "$log" "$work/cruise.hfc" 1 >"$work/figures"
    whole=$(awk -v a="$start" -v b="$(date +%s.%N)" 'BEGIN { print b - a }')
    printf 'round %s: sqlite3 .import %.2f s, intake %.2f s\n' "$round" "$reference" "$whole"
    if awk -v a="$reference" -v b="$best_reference" 'BEGIN { exit !(a < b) }'; then best_reference=$reference; fi
    if awk -v a="$whole" -v b="$best_intake" 'BEGIN { exit !(a < b) }'; then
        best_intake=$whole
        cp "$work/figures" "$work/best"
    fi
done
rm -f "$work"/cruise.hfc*
"$bench" take "$log" "$work/cruise.hfc" 20 >/dev/null
"$bench" window "$work/cruise.hfc" >>"$work/best"

echo
column -t "$work/best"
echo
awk -v r="$best_reference" -v i="$best_intake" -v bytes="$(stat -c %s "$log")" 'BEGIN {
    printf "log of %.1f MB; sqlite3 .import %.2f s; intake %.2f s as a whole process: %.2f of the reference\n",
        bytes / 1e6, r, i, i / r }'
