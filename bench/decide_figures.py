#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""What `decide` is worth to a person, in figures; hours of work, and no test.

    bench/decide_figures.py wishes   [COUNT [FIRST_SEED]]   random wishes: a plan that passes all, or why none does
    bench/decide_figures.py advice   [COUNT [FIRST_SEED]]   random jobs that fail: is advice, taken literally, enough?
    bench/decide_figures.py defaults                        every pattern's own choices beside the least that is found

Program and time for each job: GARTHWRIGHT_PROGRAM, LIMIT_S (30, of the clock). Times told are the processor's."""
import collections
import json
import os
import pathlib
import random
import re
import resource
import statistics
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent
PROGRAM = os.environ.get("GARTHWRIGHT_PROGRAM", str(ROOT / "build" / "release" / "garthwright"))
LIMIT_S = os.environ.get("LIMIT_S", "30")
YARDS = {"harrow-lane": "mm", "mill-creek": "ft-in"}
SIZES = {  # what a person wishes for, at random
    "arbor": lambda r: {"opening": r.randrange(900, 1700, 50)},
    "pergola": lambda r: {"length": r.randrange(2400, 4300, 100), "depth": r.randrange(2000, 3400, 100),
                          **({"against": "wall"} if r.random() < 0.3 else {})},
    "fence": lambda r: {"length": r.randrange(1800, 9000, 300), "height": r.randrange(900, 1900, 100)},
    "gate": lambda r: {"opening": r.randrange(800, 1300, 50)},
    "bench": lambda r: {},
    "seat-arbor": lambda r: {},
    "deck": lambda r: {"width": r.randrange(2400, 4800, 300), "depth": r.randrange(1800, 3600, 300)},
    "raised-bed": lambda r: {"length": r.randrange(1500, 3000, 100), "width": r.randrange(800, 1300, 100)},
    "curved-screen": lambda r: {},
    "tree-bench": lambda r: {"trunk": r.randrange(150, 900, 50)},
    "log-store": lambda r: {},
    "planter": lambda r: {},
}
LEAST = {"arbor": {"opening": 1350}, "pergola": {"length": 3600, "depth": 2700}, "fence": {"length": 5400},
         "deck": {"width": 3600, "depth": 2400}, "raised-bed": {"length": 2000, "width": 1000}}

SIZE = re.compile(r'\{ name = "(\w+)"[^{}]*?group = "Size"')  # choices that are wishes


def toml(value):
    return json.dumps(value)


def job(pattern, yard, choices, site, opens=""):
    lines = ["format = 1", f'units = "{YARDS[yard]}"', "[site]", *(f"{k} = {toml(v)}" for k, v in site.items()), "[timber]",
             f'catalogue = "{yard}"', "[[structure]]", f'pattern = "{pattern}"', opens, "[structure.choices]",
             *(f"{k} = {toml(v)}" for k, v in choices.items())]
    return "\n".join(lines) + "\n"


def site_of(r, yard):
    facts = {"exposure": r.choice(["sheltered", "average", "average", "open"]),
             "soil": r.choice(["sand", "stiff clay", "gravel", "soft clay"]),
             "climber": r.choice(["none", "clematis", "honeysuckle", "climbing_rose", "grape_vine", "ivy"])}
    if facts["soil"] == "soft clay" and r.random() < 0.8:  # the others did not measure it, and are told how
        kpa = r.choice([20, 25, 30, 35])
        facts["clay_strength"] = kpa if yard == "harrow-lane" else round(kpa / 0.0478803)
    return facts


def spent():
    """Processor seconds of all programs so far: says more than the clock on a machine that others use."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def run(*words):
    return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, check=False)


def planned(path):
    made = run("plan", path, "--json", "-")
    return json.loads(made.stdout) if made.returncode in (0, 1) and made.stdout else None


def failing(plan):
    fails = [check["kind"] for check in plan["checks"] if check["verdict"] == "fails" or (check["kind"] == "unsolved" and check["verdict"] != "ok")]
    return fails + [d["code"] for d in plan["diagnostics"] if d["code"] in ("no-order", "no-fixing", "unbuyable")]


def advised(path, taken):
    """Whether there is advice, what it costs, and whether it is enough when it is taken."""
    made = run("decide", path, "--advice", "--json", "-", "--limit-s", LIMIT_S, "--save", taken)
    if made.returncode not in (0, 1) or not made.stdout:
        return {"verdict": "error", "why": made.stderr.strip()[:200]}
    advice = json.loads(made.stdout)
    if advice["verdict"] == "found":
        plan = planned(taken)
        advice["enough"] = plan is not None and not failing(plan)
        advice["paid"] = plan is not None and plan["purchase"]["total_minor"] == advice["ways"][0]["total_minor"]
    return advice


def wishes(count, seed):
    tally, why, kinds = collections.Counter(), collections.Counter(), collections.Counter()
    with tempfile.TemporaryDirectory() as folder:
        for number in range(seed, seed + count):
            r = random.Random(number)
            pattern, yard = r.choice(sorted(SIZES)), r.choice(sorted(YARDS))
            path, taken = pathlib.Path(folder) / f"{number}.toml", pathlib.Path(folder) / f"{number}-taken.toml"
            path.write_text(job(pattern, yard, SIZES[pattern](r), site_of(r, yard)), encoding="utf-8")
            began, plan = spent(), planned(path)
            if plan is None:
                kind, words = "refused", run("plan", path).stderr.strip().splitlines()[-1][-150:]
            elif not failing(plan):
                kind, words = "passes as it is", ""
            else:
                advice = advised(path, taken)
                kind = {"found": "passes with advice" if advice.get("enough") else "ADVICE NOT ENOUGH"}.get(advice["verdict"], advice["verdict"])
                words = advice["ways"][0]["words"] if advice.get("ways") else advice.get("why", str(collections.Counter(failing(plan)).most_common(3)))
                if not advice.get("ways"):
                    why.update(set(failing(plan)))
            tally[kind] += 1
            kinds[pattern, kind] += 1
            print(f"{number:4} {pattern:14} {yard:12} {kind:20} {spent() - began:5.1f} s  {words}", flush=True)
    print(dict(tally), "\nof those without a way:", why.most_common(), "\n", {f"{p}: {k}": n for (p, k), n in sorted(kinds.items())})


def advice(count, seed):
    """Jobs that fail: a random pattern with some of its numbers and sections made worse."""
    spoil = {"post": ["3x3", "4x4"], "in_ground": [400, 500, 600], "hole_diameter": [200, 250], "rafters": [3, 4],
             "brace_leg": [0, 300, 500]}
    done, tally, times = 0, collections.Counter(), []
    with tempfile.TemporaryDirectory() as folder:
        number = seed - 1
        while done < count:
            number += 1
            r = random.Random(number)
            pattern, yard = r.choice(sorted(SIZES)), r.choice(sorted(YARDS))
            choices = SIZES[pattern](r)
            for name in r.sample(sorted(spoil), r.randrange(0, 3)):
                choices[name] = r.choice(spoil[name])
            path, taken = pathlib.Path(folder) / f"{number}.toml", pathlib.Path(folder) / f"{number}-taken.toml"
            path.write_text(job(pattern, yard, choices, site_of(r, yard)), encoding="utf-8")
            plan = planned(path)
            if plan is None or not failing(plan):
                continue
            done += 1
            began, found = spent(), advised(path, taken)
            times.append(spent() - began)
            kind = found["verdict"] if found["verdict"] != "found" else ("enough" if found["enough"] and found["paid"] else "NOT ENOUGH")
            tally[kind] += 1
            print(f"{number:4} {pattern:14} {yard:12} {kind:12} {times[-1]:5.1f} s  "
                  f"{found['ways'][0]['words'] if found.get('ways') else collections.Counter(failing(plan)).most_common(3)}", flush=True)
    print(dict(tally), f"median {statistics.median(times):.1f} s")


def defaults():
    """Every number and section but what a person wishes for is open; the same wish by the pattern's own choices beside it."""
    with tempfile.TemporaryDirectory() as folder:
        for yard in sorted(YARDS):
            for pattern in sorted(SIZES):
                wish = LEAST.get(pattern, {})
                path = pathlib.Path(folder) / f"{pattern}-{yard}.toml"
                path.write_text(job(pattern, yard, wish, {}), encoding="utf-8")
                plan = planned(path)
                if plan is None:
                    print(f"{yard:12} {pattern:14} refused")
                    continue
                now, fails = plan["purchase"]["total_minor"], failing(plan)
                named = SIZE.findall((ROOT / "patterns" / f"{pattern}.lua").read_text(encoding="utf-8"))
                opens = "open = \"all but " + ", ".join(sorted(set(named) | set(wish))) + "\"" if named or wish else "open = \"all\""
                path.write_text(job(pattern, yard, wish, {}, opens), encoding="utf-8")
                made = run("decide", path, "--json", "-", "--limit-s", LIMIT_S)
                answer = json.loads(made.stdout) if made.stdout.startswith("{") else None
                if answer is None:
                    print(f"{yard:12} {pattern:14} now {now / 100:8.2f} fails {len(fails)}; {made.stderr.strip()[:120]}", flush=True)
                    continue
                least = answer["total_minor"]
                more = f"{100 * (now / least - 1):+5.1f} %" if least else "none found"
                print(f"{yard:12} {pattern:14} now {now / 100:8.2f} fails {len(fails)}; least found {(least or 0) / 100:8.2f} "
                      f"({answer['combinations']} combinations, {'proven' if answer['proven'] else 'bound %.2f' % ((answer['lower_bound_minor'] or 0) / 100)}): {more}", flush=True)


if __name__ == "__main__":
    what, numbers = sys.argv[1:2], [int(word) for word in sys.argv[2:]] + [None, None]
    if what == ["wishes"]:
        wishes(numbers[0] or 40, numbers[1] or 1)
    elif what == ["advice"]:
        advice(numbers[0] or 200, numbers[1] or 1)
    elif what == ["defaults"]:
        defaults()
    else:
        sys.exit(__doc__)
