#!/usr/bin/env bash
# This program beside others on this machine, in one run: a table of ratios, and what
# everyday commands and pages take. Times are on the processor but for pages.
#   bash benches/peers.sh          all that is here to compare with
# `bash tests/run --prepare-only` makes the Python with HiGHS. A month of 1,000,000
# tickets only where TRAYFUL_BENCH_BOOK names where its books are kept; whole buckets by
# HiGHS only where PEERS_HIGHS is set, for it is built from its source first.
set -euo pipefail
cd "$(dirname "$0")/.."
export TRAYFUL_BY=peers
cargo build --release --locked
trayful=$PWD/target/release/trayful
folder=$(mktemp -d)
trap 'rm -rf "$folder"; [ -z "${dock:-}" ] || kill "$dock"' EXIT

# Criterion's own measurements are left out by a name that none has.
cargo bench --locked --bench mix -- no-such-name >"$folder/mix"
cargo bench --locked --bench ahead >"$folder/ahead"
[ -z "${TRAYFUL_BENCH_BOOK:-}" ] || cargo bench --locked --bench month -- no-such-name >"$folder/month"
[ -z "${PEERS_HIGHS:-}" ] || cargo bench --locked --features highs --bench trust -- no-such-name >"$folder/trust"

row() { printf '| %-46s | %-30s |\n' "$1" "$2"; }
row "what" "took, or times the other"
row "---" "---"
awk -F', ' '
    / lots, / { night = $0 }
    /trayful mix --plain/ { split($2, at, " "); plain = at[1] }
    /trayful mix [0-9]/ { split($2, at, " "); ours = at[1] }
    /Python with HiGHS [0-9]/ { split($2, at, " ")
        printf "%s: mix --plain / HiGHS by Python\t%.2f\n", night, plain / at[1]
        printf "%s: mix / the same script\t%.2f\n", night, ours / at[1] }
' "$folder/mix" | while IFS=$'\t' read -r what ratio; do row "$what" "$ratio"; done
awk '
    / nights x / { plan = $1 " nights x " $4 " streams" }
    /ours takes/ { sub(/.*ours takes /, ""); print plan ": ahead / HiGHS\t" $1 }
' "$folder/ahead" | while IFS=$'\t' read -r what ratio; do row "$what" "$ratio"; done
if [ -f "$folder/month" ]; then
    awk '/^[^ ].*:$/ { book = $0 } /the month takes/ { print book " month / sum of sqlite3\t" $4 }' "$folder/month" |
        while IFS=$'\t' read -r what ratio; do row "$what" "$ratio"; done
else
    row "a month of 1,000,000 tickets" "not run: no TRAYFUL_BENCH_BOOK"
fi
if [ -f "$folder/trust" ]; then
    grep -E 'microlp|HiGHS' "$folder/trust" | while read -r line; do row "whole buckets" "$line"; done
else
    row "whole buckets by HiGHS" "not run: no PEERS_HIGHS"
fi

cd "$folder"
"$trayful" demo >/dev/null 2>&1
export TRAYFUL_DAYBOOK=$folder/demo-farm/farm.daybook
TIMEFORMAT='%U %S'
least_ms() {
    for _ in 1 2 3; do { time "$@" >/dev/null 2>&1; } 2>&1 || true; done |
        awk '{ ms = 1000 * ($1 + $2) } NR == 1 || ms < least { least = ms } END { printf "%.0f ms", least }'
}
for line in stock "mix --look" "mix --look --why" "mix --look --buckets" month harvest money ahead "trace 1" check; do
    read -ra words <<<"$line"
    row "trayful $line" "$(least_ms "$trayful" "${words[@]}")"
done
"$trayful" dock --port 8977 >/dev/null 2>&1 &
dock=$!
for _ in $(seq 50); do curl -sf -o /dev/null http://127.0.0.1:8977/ && break || sleep 0.2; done
for page in / /stock /tonight /ahead /month /harvest /money; do
    took=$(for _ in 1 2 3; do curl -s -o /dev/null -w '%{time_total} %{http_code}\n' "http://127.0.0.1:8977$page"; done | sort -n | head -1)
    row "page $page" "$(awk '{ printf "%.0f ms, answered %s", 1000 * $1, $2 }' <<<"$took")"
done
