#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Two servers behind nginx on loopback, taking turns without sticky sessions: a page's requests land on either, answers
# and their tags are the same, and one may end while the other goes on.
#
#   tests/two_instances.sh [PROGRAM]
set -euo pipefail
cd "$(dirname "$0")/.."
program=${1:-build/release/garthwright}

for tool in nginx curl; do
  command -v $tool >/dev/null || { echo "two_instances: $tool is missing (packages.txt)" >&2; exit 1; }
done

work=$(mktemp -d)
pids=()
finish() {
  for pid in "${pids[@]}"; do kill "$pid" 2>/dev/null || true; done
  wait 2>/dev/null || true
  rm -rf "$work"
}
trap finish EXIT
stop() { echo "two_instances: $*" >&2; [ ! -f "$work/nginx.log" ] || tail -n 5 "$work/nginx.log" >&2; exit 1; }

start() {  # start NAME: a server under the name the proxy is reached by
  "$program" serve --port 0 --known-as garden.example >"$work/$1.said" &
  pids+=($!)
  for _ in $(seq 200); do grep -q http "$work/$1.said" && return; sleep 0.05; done
  stop "server $1 did not start"
}
port_of() { sed -E 's|.*:([0-9]+)/.*|\1|' "$work/$1.said"; }
start one
start two

# A port that is free now; nginx cannot choose one itself.
front=$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
cat >"$work/nginx.conf" <<CONF
worker_processes 1;
daemon off;
pid $work/nginx.pid;
error_log $work/nginx.log;
events { worker_connections 256; }
http {
  access_log off;
  client_body_temp_path $work/body; proxy_temp_path $work/proxy;
  fastcgi_temp_path $work/fastcgi; scgi_temp_path $work/scgi; uwsgi_temp_path $work/uwsgi;
  upstream planners {
    server 127.0.0.1:$(port_of one);
    server 127.0.0.1:$(port_of two);
    keepalive 16;
  }
  server {
    listen 127.0.0.1:$front;
    client_max_body_size 256k;
    location / {
      proxy_pass http://planners;
      proxy_http_version 1.1;
      proxy_set_header Connection "";
      proxy_set_header Host \$http_host;
      # A server that is about to end says 503: the other one is asked, POST or not, since nothing is kept.
      proxy_next_upstream error timeout http_503 non_idempotent;
      add_header X-Answered-By \$upstream_addr always;
    }
  }
}
CONF
nginx -p "$work" -c "$work/nginx.conf" -e "$work/nginx.log" &
pids+=($!)
url=http://127.0.0.1:$front
for _ in $(seq 100); do curl -sf -o /dev/null "$url/healthz" && break; sleep 0.05; done

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
