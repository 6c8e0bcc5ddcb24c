#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Shows on a minimal Debian 12 that the packages of `./dev package` need nothing that they do not name: both install, an
# example is planned, the page and the manual are served, and a program of one's own is built with the kernels.
#
#   packaging/clean_root.sh FOLDER [PACKAGES]     as root; needs debootstrap, curl and a network
#
# FOLDER becomes the root of that Debian (some 600 MB; a second run takes it as it is, with what was installed); PACKAGES is
# where the packages lie, else build/packages. Not part of ./dev test: it fetches a whole system.
set -euo pipefail
root=${1:?the folder that is to hold a Debian} packages=${2:-$(dirname "$0")/../build/packages} port=${PORT:-8975}
export DEBIAN_FRONTEND=noninteractive LC_ALL=C.UTF-8

say() { printf '%s\n' "$*"; }
stop() { printf 'clean_root: %s\n' "$*" >&2; exit 1; }
inside=(chroot "$root" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/home/builder LC_ALL=C.UTF-8 DEBIAN_FRONTEND=noninteractive)
as_builder=("${inside[@]}" setpriv --reuid builder --regid builder --clear-groups)
# quietly COMMAND…: its output only where it fails.
quietly() { local said; said=$("$@" 2>&1) || { printf '%s\n' "$said" | tail -n 20 >&2; stop "failed: $*"; }; }

program=$(compgen -G "$packages/garthwright_*.deb") || stop "no garthwright_*.deb in $packages (./dev package)"
kernels=$(compgen -G "$packages/garthwright-kernels-dev_*.deb") || stop "no garthwright-kernels-dev_*.deb in $packages"

[ -x "$root/usr/bin/apt-get" ] || quietly debootstrap --variant=minbase bookworm "$root"
mountpoint -q "$root/proc" || mount -t proc proc "$root/proc"
server=
leave() { [ -z "$server" ] || kill "$server" 2>/dev/null || true; umount "$root/proc"; }
trap leave EXIT
"${inside[@]}" id builder >/dev/null 2>&1 || quietly "${inside[@]}" useradd --create-home builder
had=$("${inside[@]}" dpkg-query -W | wc -l)

cp "$program" "$kernels" "$root/tmp/"
quietly "${inside[@]}" apt-get update
quietly "${inside[@]}" apt-get install -y --no-install-recommends "/tmp/$(basename "$program")"
say "installed $(basename "$program"): $(($("${inside[@]}" dpkg-query -W | wc -l) - had)) packages more than were there"
"${as_builder[@]}" garthwright doctor || stop "doctor found something missing"

status=0
"${as_builder[@]}" sh -c 'cd && garthwright plan /usr/share/garthwright/examples/arbor.toml --out plan' || status=$?
((status <= 1)) || stop "the example was not planned (status $status)"
[ "$(head -c 4 "$root/home/builder/plan/plan.pdf")" = %PDF ] || stop "the plan has no sheets"
say "planned the example"

"${as_builder[@]}" garthwright serve /usr/share/garthwright/examples/arbor.toml --port "$port" >"$root/tmp/serve.log" 2>&1 &
server=$!
for _ in $(seq 100); do curl -fsS "http://127.0.0.1:$port/" -o "$root/tmp/page.html" 2>/dev/null && break; sleep 0.2; done
grep -qi '<script' "$root/tmp/page.html" 2>/dev/null || { tail "$root/tmp/serve.log" >&2; stop "no page was served"; }
# The page is whole: what it names is served, too.
for name in $(grep -oE '(src|href)="\.?/[^"]+"' "$root/tmp/page.html" | sed -E 's/.*="\.?//; s/"$//'); do
  curl -fsS "http://127.0.0.1:$port$name" -o /dev/null || stop "the page names $name, which is not served"
done
curl -fsS "http://127.0.0.1:$port/manual/tutorial.html" | grep -q '<h1' || stop "the manual is not served"
kill "$server" && wait "$server" 2>/dev/null || true
server=
say "served the page, all that it names, and the manual"

quietly "${inside[@]}" apt-get install -y --no-install-recommends "/tmp/$(basename "$kernels")" g++ pkg-config
"${as_builder[@]}" sh -c 'cd && g++ -std=c++20 /usr/share/doc/garthwright-kernels-dev/examples/kernels.cc -o kernels \
  $(pkg-config --cflags --libs garthwright-frame garthwright-cutting garthwright-assembly) && ./kernels' ||
  stop "the example program does not build with the installed kernels"
say "built the example program with the installed kernels"
