#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Shows that a commit makes the same packages wherever and whenever it is built: clones it twice into folders of different
# names and depth, builds each without a compiler cache, packs both, and compares every package byte by byte.
#
#   packaging/same_bytes.sh FOLDER [COMMIT]      two whole builds: half an hour of a machine, and 2 GB
#
# A second run goes on with what it finds in FOLDER.
set -euo pipefail
folder=$(realpath "${1:?the folder that is to hold two builds}") commit=${2:-HEAD}
cd "$(dirname "$0")/.."
commit=$(git rev-parse "$commit")
stop() { printf 'same_bytes: %s\n' "$*" >&2; exit 1; }

build() {  # build FOLDER: the packages of the commit, in FOLDER/build/packages
  mkdir -p "$(dirname "$1")"
  [ -d "$1/.git" ] || git clone -q --no-hardlinks . "$1"
  git -C "$1" checkout -q --detach "$commit"
  (cd "$1" && CCACHE_DISABLE=1 ./dev package)
}

first=$folder/one second=$folder/a-longer-name/and-deeper/two
build "$first"
build "$second"

same=0
for one in "$first"/build/packages/*; do
  other=$second/build/packages/$(basename "$one")
  [ -f "$other" ] || stop "the second build made no $(basename "$one")"
  if cmp -s "$one" "$other"; then
    same=$((same + 1))
    echo "same: $(basename "$one") $(sha256sum <"$one" | cut -c1-16)"
  else
    command -v diffoscope >/dev/null && diffoscope --max-report-size 4000 "$one" "$other" || true
    stop "$(basename "$one") differs"
  fi
done
((same >= 4)) || stop "only $same packages were made"
echo "$same packages of ${commit:0:9}, each the same from both builds"
