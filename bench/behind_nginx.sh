#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Load on several servers behind one proxy on loopback: the arbor, changed each time, from some connections at once; after a
# third of the time one of the servers is ended, as for an upgrade, and after two thirds another one takes its place. Prints
# answers, latencies and errors, and of each server the answers' processor time and its memory. Ends with 1 when an answer was
# lost.
#
#   bench/behind_nginx.sh [INSTANCES [SECONDS [CONNECTIONS [PROGRAM]]]]     GARTHWRIGHT_PATH=/api/v1/plan asks another question
set -euo pipefail
cd "$(dirname "$0")/.."
instances=${1:-3} seconds=${2:-60} connections=${3:-6} program=${4:-build/release/garthwright}
command -v wrk >/dev/null || { echo "wrk is missing: apt-get install wrk" >&2; exit 2; }
. tests/tools/behind_nginx.sh

names=()
for ((i = 1; i <= instances; ++i)); do instance "$i" --threads 1; names+=("$i"); done
servers=("${pids[@]}")
front "${names[@]}"

told() {
  local ticks
  ticks=$(awk '{print $14 + $15}' "/proc/$2/stat")
  echo "server $1: $((ticks * 1000 / $(getconf CLK_TCK))) ms of processor time, $(awk '/^VmRSS/ {print int($2 / 1024)}' "/proc/$2/status") MB"
}

echo "$(nproc) cores, load before $(cut -d' ' -f1 /proc/loadavg), $instances servers of one thread, $connections connections, $seconds s of ${GARTHWRIGHT_PATH:-/api/v1/quick}"
wrk --threads 1 --connections "$connections" --duration "${seconds}s" --timeout 30s --header 'Host: garden.example' \
  --script bench/server_load.lua "$url" >"$work/wrk" &
load=$!
sleep $((seconds / 3))
told 1 "${servers[0]}"
kill -TERM "${servers[0]}"
wait "${servers[0]}" || stop "the server that was ended had exit status $?"
echo "server 1 ended at $((seconds / 3)) s"
sleep $((seconds / 3))
port=$(sed -E 's|.*:([0-9]+)/.*|\1|' "$work/1.said")
"$program" serve --port "$port" --known-as garden.example --threads 1 >"$work/again.said" &
pids+=($!)
servers[0]=$!
echo "server 1 is there again at $((2 * (seconds / 3))) s"
wait $load
for ((i = 1; i <= instances; ++i)); do told "$i" "${servers[i - 1]}"; done
grep -E 'p50|answers' "$work/wrk"
grep -q 'errors: 0 of status, 0 other' "$work/wrk" || stop "answers were lost: $(grep errors "$work/wrk")"
