#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# The package of a cruise beside the reference of the same run: sha256sum and tar of the same bytes.
#   tests/bench/handoff_bench.sh [BUILD [DIVES [HOURS]]]      20 dives of 12 h at 24 Hz are 20.7 million scans
set -euo pipefail
source=$(cd "$(dirname "${BASH_SOURCE[0]}")/../.." && pwd)
build=${1:-$source/build}
dives=${2:-20}
hours=${3:-12}
export HOLDFAST_SOURCE_DIR=$source HOLDFAST_TEMPLATES=$source/templates QT_QPA_PLATFORM=offscreen
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export HOLDFAST_KEYS=$work/keys

"$build/tests/bench/intake_bench" make "$work/ctd.csv" "$hours" >/dev/null
"$build/tests/bench/handoff_bench" make "$work/cruise.hfc" "$dives" "$work/ctd.csv"
rm "$work/ctd.csv"
mkdir "$work/out"

# Wall seconds and greatest memory of a command: "2.31 123456".
figures_of() {
    sync # what was written before is not waited for by the next
    python3 - "$@" <<'PY'
import os, resource, subprocess, sys, time
start = time.monotonic()
subprocess.run(sys.argv[1:], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
print(f"{time.monotonic() - start:.2f} {resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss}")
PY
}
reference() {
    cd "$1"
    find . -type f -print0 | sort -z | xargs -0 sha256sum >"$work/sums"
    tar -cf "$work/reference.tar" .
}
export -f reference
export work

plain=$(figures_of "$build/holdfast" handoff "$work/cruise.hfc" --out "$work/out" --no-papers)
package=$work/out/TK26-v1
bytes=$(du -sb "$package" | cut -f1)
ref=$(figures_of bash -c 'reference "$0"' "$package")
# The invented log lies in the future, which the check rightly calls an error.
check=$(figures_of bash -c '"$0" check "$1" || true' "$build/holdfast" "$package")
receive=$(figures_of "$build/holdfast" receive "$package" --out "$work/back.hfc")
mkdir "$work/papers"
papers=$(figures_of "$build/holdfast" handoff "$work/cruise.hfc" --out "$work/papers")
mkdir "$work/zipped"
zip=$(figures_of "$build/holdfast" handoff "$work/cruise.hfc" --out "$work/zipped" --no-papers --zip)

printf '%s dives, package of %.2f GB\n' "$dives" "$(awk -v b="$bytes" 'BEGIN { print b / 1e9 }')"
printf '| what | s | of the reference | memory MB |\n| --- | --- | --- | --- |\n'
for row in "sha256sum and tar of the same bytes|$ref" "the package without papers|$plain" "the package with papers|$papers" \
    "the package as a zip|$zip" "check|$check" "receive, with its audit|$receive"; do
    awk -v row="$row" -v ref="$ref" 'BEGIN {
        split(row, part, "|"); split(part[2], f, " "); split(ref, r, " ")
        printf "| %s | %.1f | %.2f | %d |\n", part[1], f[1], f[1] / r[1], f[2] / 1024 }'
done
"$build/tests/bench/handoff_bench" index "$work/index.hfi" 150000
