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

# Wall and processor seconds of a command: "2.31 1.98".
seconds_of() {
    local TIMEFORMAT='%R %U %S'
    { time "$@" >"$work/figures"; } 2>&1 | awk '{ print $1, $2 + $3 }'
}
less() { awk -v a="$1" -v b="$2" 'BEGIN { exit !(a < b) }'; }

best_reference="999 999"
best_intake="999 999"
for round in $(seq "$rounds"); do
    rm -f "$work"/bare.db "$work"/cruise.hfc*
    reference=$(seconds_of sqlite3 "$work/bare.db" ".mode csv" ".import $log ctd")
    intake=$(seconds_of "$bench" take "$log" "$work/cruise.hfc" 1)
    printf 'round %s: sqlite3 .import %s s, intake %s s (wall, processor)\n' "$round" "$reference" "$intake"
    if less "${reference% *}" "${best_reference% *}"; then best_reference=$reference; fi
    if less "${intake% *}" "${best_intake% *}"; then
        best_intake=$intake
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
    split(r, reference); split(i, intake)
    printf "log of %.1f MB, whole processes, best of each\n", bytes / 1e6
    printf "wall       sqlite3 .import %.2f s, intake %.2f s: %.2f of the reference\n",
        reference[1], intake[1], intake[1] / reference[1]
    printf "processor  sqlite3 .import %.2f s, intake %.2f s: %.2f of the reference\n",
        reference[2], intake[2], intake[2] / reference[2] }'
