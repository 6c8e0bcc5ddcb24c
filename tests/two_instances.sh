#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Two servers behind nginx on loopback, taking turns without sticky sessions: a page's requests land on either, answers
# and their tags are the same, and one may end while the other goes on.
#
#   tests/two_instances.sh [PROGRAM]
set -euo pipefail
cd "$(dirname "$0")/.."
program=${1:-build/release/garthwright}

. tests/tools/behind_nginx.sh
instance one
instance two
front one two

ask() {  # ask PATH [curl words]: head to $work/head, body to $work/body.out; prints the status
  local path=$1
  shift
  curl -s -D "$work/head" -o "$work/body.out" -w '%{http_code}' -H 'Host: garden.example' \
    -H 'Content-Type: application/toml' --data-binary @examples/arbor.toml "$@" "$url$path"
}
header() { grep -i "^$1:" "$work/head" | tail -n 1 | cut -d' ' -f2- | tr -d '\r'; }

answers=0
for path in /api/v1/plan /api/v1/quick /api/v1/sheets /api/v1/files/model.step; do
  rm -f "$work/seen" "$work/same"
  for _ in 1 2 3 4 5 6; do
    status=$(ask "$path")
    [ "$status" = 200 ] || stop "$path answered $status"
    echo "$(header ETag) $(sha256sum <"$work/body.out")" >>"$work/same"
    header X-Answered-By >>"$work/seen"
    answers=$((answers + 1))
  done
  [ "$(sort -u "$work/seen" | wc -l)" = 2 ] || stop "$path: only one server answered"
  [ "$(sort -u "$work/same" | wc -l)" = 1 ] || stop "$path: the two servers answered differently"
  tag=$(header ETag)
  for _ in 1 2; do
    [ "$(ask "$path" -H "If-None-Match: $tag")" = 304 ] || stop "$path: one server does not know the other's tag"
  done
done

# One ends, as for an upgrade; what a page asks meanwhile is answered by the other.
kill -TERM "${pids[0]}"
for i in $(seq 40); do
  status=$(ask "/api/v1/check?name=$i")
  [ "$status" = 200 ] || stop "request $i after one server was ended answered $status"
done
wait "${pids[0]}" || stop "the server that was ended had exit status $?"
echo "$answers answers, each the same from both; 40 more while one ended, none lost"
