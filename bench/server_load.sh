#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Load on loopback: the arbor, changed each time, from some connections at once. Prints answers a second, latencies, and
# the server's memory every 10 s.
#
#   bench/server_load.sh [SECONDS [CONNECTIONS [PROGRAM]]]      GARTHWRIGHT_PATH=/api/v1/plan asks another question
set -euo pipefail
cd "$(dirname "$0")/.."
seconds=${1:-30} connections=${2:-4} program=${3:-build/release/garthwright}
command -v wrk >/dev/null || { echo "wrk is missing: apt-get install wrk" >&2; exit 2; }

said=$(mktemp)
"$program" serve --port 0 >"$said" &
server=$!
trap 'kill $server 2>/dev/null || true; wait $server || true; rm -f "$said"' EXIT
for _ in $(seq 200); do grep -q http "$said" && break; sleep 0.05; done
url=$(sed -E 's|.*(http://[^ ]*)/$|\1|' "$said")

memory() { awk '/^VmRSS/ {print int($2 / 1024) " MB"}' "/proc/$server/status"; }
echo "$(nproc) cores, load before $(cut -d' ' -f1 /proc/loadavg), $connections connections, $seconds s of ${GARTHWRIGHT_PATH:-/api/v1/quick}"
wrk --threads 1 --connections "$connections" --duration "${seconds}s" --timeout 30s --script bench/server_load.lua "$url" |
  grep -v '^ *$' &
load=$!
for ((at = 0; at < seconds; at += 10)); do
  echo "at $at s: $(memory)"
  sleep $((seconds - at < 10 ? seconds - at : 10))
done
wait $load
ticks=$(awk '{print $14 + $15}' "/proc/$server/stat")
echo "at the end: $(memory); $((ticks * 1000 / $(getconf CLK_TCK))) ms of processor time in all"
