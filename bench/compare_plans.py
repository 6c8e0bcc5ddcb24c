#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""What two builds of the program say differently of the same jobs: every value of plan.json that is not the same, by its
place, alike ones counted once. Ends with 1 when a length, price or mark differs.

    bench/compare_plans.py OLD_PROGRAM NEW_PROGRAM [JOB…]      (the shipped examples when no job is named)
"""
import collections
import json
import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
# What a builder goes by: a change here is never mere wording.
BUILT_BY = re.compile(r"^(pieces|purchase|marking|holes)\b(?!.*\.(why|price_note)$)")


def plan(program, job):
    made = subprocess.run([program, "plan", job, "--json", "-"], capture_output=True, text=True, check=False)
    if made.returncode not in (0, 1):
        return {"refused": made.stderr}
    return json.loads(made.stdout)


def leaves(value, place=""):
    """Every plain value with its place; entries of lists that have an id or a mark are found by it."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, f"{place}.{key}" if place else key)
    elif isinstance(value, list) and value:
        for index, inner in enumerate(value):
            name = inner.get("id") or inner.get("mark") if isinstance(inner, dict) else None
            yield from leaves(inner, f"{place}[{name or index}]")
    else:
        yield place, value


def differences(old, new):
    before, after = dict(leaves(old)), dict(leaves(new))
    for place in sorted(before.keys() | after.keys()):
        was, now = before.get(place, "nothing"), after.get(place, "nothing")
        if was != now:
            yield place, was, now


def main():
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    old, new, *jobs = sys.argv[1:]
    worse = False
    for job in jobs or sorted(map(str, (ROOT / "examples").glob("*.toml"))):
        kinds = collections.defaultdict(list)
        for place, was, now in differences(plan(old, job), plan(new, job)):
            kinds[re.sub(r"\[[^]]*\]", "[]", place)].append((place, was, now))
        print(f"{job}: {sum(map(len, kinds.values()))} differences")
        for kind, found in sorted(kinds.items()):
            built_by = BUILT_BY.match(kind) is not None
            worse = worse or built_by
            place, was, now = found[0]
            print(f"  {'!' if built_by else ' '} {kind} × {len(found)}, as {place}: {was!r} -> {now!r}")
    sys.exit(1 if worse else 0)


if __name__ == "__main__":
    main()
