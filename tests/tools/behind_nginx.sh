# SPDX-License-Identifier: Apache-2.0
# To be read by scripts that want several servers behind one nginx on loopback: what docs/scale.md tells a proxy to do.
#
#   instance NAME [WORDS…]   starts "$program" as a server that the proxy may ask; ${pids[-1]} is its process
#   front NAME…              starts the proxy before those instances, without sticky sessions; "$url" is where it answers
#
# What was started ends with the script; "$work" is a folder for its files until then.
for tool in nginx curl; do
  command -v $tool >/dev/null || { echo "$0: $tool is missing (packages.txt)" >&2; exit 1; }
done

work=$(mktemp -d)
pids=()
finish() {
  for pid in "${pids[@]}"; do kill "$pid" 2>/dev/null || true; done
  wait 2>/dev/null || true
  rm -rf "$work"
}
trap finish EXIT
stop() { echo "${0##*/}: $*" >&2; [ ! -f "$work/nginx.log" ] || tail -n 5 "$work/nginx.log" >&2; exit 1; }

instance() {
  local name=$1
  shift
  "$program" serve --port 0 --known-as garden.example "$@" >"$work/$name.said" &
  pids+=($!)
  for _ in $(seq 200); do grep -q http "$work/$name.said" && return; sleep 0.05; done
  stop "server $name did not start"
}

front() {
  local port servers="" name
  # A port that is free now; nginx cannot choose one itself.
  port=$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
  for name in "$@"; do servers+="server 127.0.0.1:$(sed -E 's|.*:([0-9]+)/.*|\1|' "$work/$name.said"); "; done
  cat >"$work/nginx.conf" <<CONF
worker_processes 1;
daemon off;
pid $work/nginx.pid;
error_log $work/nginx.log;
events { worker_connections 1024; }
http {
  access_log off;
  client_body_temp_path $work/body; proxy_temp_path $work/proxy;
  fastcgi_temp_path $work/fastcgi; scgi_temp_path $work/scgi; uwsgi_temp_path $work/uwsgi;
  upstream planners {
    $servers
    keepalive 16;
  }
  server {
    listen 127.0.0.1:$port;
    client_max_body_size 256k;
    location / {
      proxy_pass http://planners;
      proxy_http_version 1.1;
      proxy_set_header Connection "";
      proxy_set_header Host \$http_host;
      # A server that is about to end says 503: another one is asked, POST or not, since nothing is kept.
      proxy_next_upstream error timeout http_503 non_idempotent;
      add_header X-Answered-By \$upstream_addr always;
    }
  }
}
CONF
  nginx -p "$work" -c "$work/nginx.conf" -e "$work/nginx.log" &
  pids+=($!)
  url=http://127.0.0.1:$port
  for _ in $(seq 100); do curl -sf -o /dev/null "$url/healthz" && return; sleep 0.05; done
  stop "the proxy does not answer"
}
