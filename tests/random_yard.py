#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Plans random jobs of the yard's patterns, in both yards and on ground as it lies, and holds each plan to what every
plan must keep: no crash, no clash, nothing floating, every post of the ground in a hole, every piece cut from a length
that is bought. Choices that a pattern refuses, with a reason, are counted, not held against it.

    tests/random_yard.py build/release/garthwright 500 [first seed]
"""
import json
import random
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

PATTERNS = {
    "fence": lambda r: {
        "length": r.randint(1500, 9000),
        "kind": r.choice(["close-board", "picket", "hit-and-miss", "slatted", "post-and-rail", "panels", "trellis"]),
        "ground": r.choice(["raked", "raked", "stepped", "levelled top"]),
        "height": r.randint(800, 2000),
        "max_spacing": r.randint(1200, 2700),
        "with_gravel_board": r.random() < 0.5,
        "pale_ends": r.choice(["parallel", "square"]),
    },
    "gate": lambda r: {
        "opening": r.randint(700, 3200),
        "kind": r.choice(["ledged and braced", "framed", "picket", "field"]),
        "hinge": r.choice(["left", "right"]),
        "opens": r.choice(["back", "front"]),
        "leaf_height": r.randint(850, 1900),
    },
    "raised-bed": lambda r: {
        "length": r.randint(1500, 3600),
        "width": r.randint(700, 3000),
        "shape": r.choice(["rectangle", "L", "against a wall"]),
        "courses": r.randint(1, 4),
        "mid_posts": r.random() < 0.7,
        "capping": r.random() < 0.4,
    },
    "bench": lambda r: {
        "persons": r.randint(1, 4),
        "kind": r.choice(["backless", "with back", "with arms"]),
        "seat_height": r.randint(380, 520),
        "lean": r.randint(5, 15),
        "fall": r.randint(0, 5),
    },
    "pergola": lambda r: {
        "length": r.randint(2000, 5400),
        "depth": r.randint(1800, 3200),
        "beams": r.choice(["single", "single", "paired"]),
        "feet": r.choice(["in the ground", "shoe"]),
        **r.choice([{"fall": r.randint(2, 20)}, {"wing": r.randint(700, 3600)}, {"brace_leg": 600, "brace_hollow": r.randint(0, 22)}]),
        "purlins": r.choice([0, 0, r.randint(2, 6)]),
    },
    "planter": lambda r: {
        "length": r.randint(350, 2000),
        "width": r.randint(320, 600),
        "splay": r.choice([0, 0, r.randint(2, 15)]),
        "courses": r.randint(2, 4),
    },
    "planter-bench": lambda r: {
        "persons": r.randint(1, 3),
        "planter": r.randint(400, 1200),
        "width": r.randint(420, 600),
        "seat_height": r.randint(400, 500),
    },
    "log-store": lambda r: {
        "width": r.randint(900, 2400),
        "depth": r.randint(450, 1100),
        "height": r.randint(1200, 2200),
        "fall": r.randint(5, 18),
        "floor": r.random() < 0.7,
    },
    "seat-arbor": lambda r: {"persons": r.randint(1, 3), "feet": r.choice(["in the ground", "shoe"]), "depth": r.randint(650, 900), "lean": r.randint(5, 14)},
    "tree-bench": lambda r: {"trunk": r.randint(100, 1200), "seat_height": r.randint(380, 520)},
    "curved-screen": lambda r: {
        "radius": r.randint(3000, 9000),
        "angle": r.randint(30, 180),
        "max_chord": r.randint(1200, 2100),
        "height": r.randint(900, 2000),
    },
    "deck": lambda r: {
        "width": r.randint(1500, 3600),
        "depth": r.randint(1200, 2700),
        "height": r.choice([r.randint(260, 420), r.randint(420, 600), r.randint(601, 850)]),
        "steps": r.random() < 0.7,
        "guard": r.choice(["none", "all but the back", "all round"]),
    },
    "table-bed": lambda r: {
        "length": r.randint(900, 3000),
        "width": r.randint(450, 1200),
        "clear": r.randint(600, 720),
        "courses": r.randint(1, 2),
    },
}
FLOATING = {"clash", "no-joint", "not-fixed", "floating", "bare-contact", "overlap"}


def value(v):
    return str(v).lower() if isinstance(v, bool) else json.dumps(v)


def job_of(seed):
    r = random.Random(seed)
    pattern = sorted(PATTERNS)[seed % len(PATTERNS)]
    choices = PATTERNS[pattern](r)
    yard = r.choice(["harrow-lane", "harrow-lane", "mill-creek"])
    ground = ""
    if r.random() < 0.7:
        levels, level = [[0, 0]], 0
        for x in range(1500, 13500, r.choice([1500, 2300, 4000])):
            level += r.randint(-120, 60)
            levels.append([x, level])
        ground = f"[ground]\nline = {{ from = [0, 0], to = [13500, 0], levels = {levels} }}\n"
    lines = "\n".join(f"{k} = {value(v)}" for k, v in choices.items())
    return pattern, (
        f"format = 1\n{ground}[timber]\ncatalogue = '{yard}'\n[[structure]]\nname = 'it'\npattern = '{pattern}'\n"
        f"[structure.choices]\n{lines}\n"
    )


def faults_of(pattern, plan):
    faults = [f"{d['code']}: {d['what']}" for d in plan["diagnostics"] if d["severity"] == "error" or d["code"] in FLOATING]
    pieces = Counter()
    for piece in plan["pieces"]:
        pieces[piece["mark"]] += piece["quantity"]
    bought = Counter()
    for layout in plan["purchase"]["cutting"]:
        for part in layout["pieces"]:
            bought[part["mark"]] += layout["count"]
    for mark, quantity in pieces.items():
        if bought[mark] < quantity:
            faults.append(f"{mark}: {quantity} wanted, {bought[mark]} cut from what is bought")
    founded = sum(p["quantity"] for p in plan["pieces"] if p["name"] in ("post", "leg"))
    if pattern not in ("planter", "planter-bench") and len(plan["holes"]) != founded:
        faults.append(f"{founded} posts and {len(plan['holes'])} holes")
    return faults


def plan_some(program, count, first=0):
    """How many of them are not as they must be; prints each with its job."""
    seen, bad = Counter(), 0
    with tempfile.TemporaryDirectory() as folder:
        job, out = Path(folder) / "job.toml", Path(folder) / "plan.json"
        for seed in range(first, first + count):
            pattern, text = job_of(seed)
            job.write_text(text, encoding="utf-8")
            out.unlink(missing_ok=True)
            done = subprocess.run([program, "plan", job, "--json", out, "--people", "3"], capture_output=True, text=True, timeout=600)
            if done.returncode == 2 and any(f"[{code}]" in done.stderr + done.stdout for code in ("cannot-build", "unbuyable")):
                seen[pattern, "refused"] += 1
                continue
            faults = [f"exit {done.returncode}: {(done.stderr + done.stdout)[-300:]}"]
            if done.returncode in (0, 1) and out.exists():
                plan = json.loads(out.read_text(encoding="utf-8"))
                faults = faults_of(pattern, plan)
                seen[pattern, "in order" if plan["stages"] else "no order"] += 1
            if faults:
                bad += 1
                print(f"seed {seed} {pattern}:", *faults[:3], sep="\n  ")
                print(text)
    print({f"{p} {k}": n for (p, k), n in sorted(seen.items())})
    print(f"{count - bad} of {count} gardens keep what every plan must keep")
    return bad


if __name__ == "__main__":
    sys.exit(1 if plan_some(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]) if len(sys.argv) > 3 else 0) else 0)
