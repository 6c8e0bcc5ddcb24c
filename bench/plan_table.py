#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""How long plans take, as a table: one column for each build. Processor seconds, so that a machine that is shared says the
same; the least of three runs of what is quick, one run of what is not.

    bench/plan_table.py NAME=BUILD_FOLDER [NAME=BUILD_FOLDER…] [--out FILE] [--quick] [--only WORD]

A build folder holds the programs garthwright and bench/plan_speed, as `./dev bench plan_speed` leaves them in build/release.
--quick leaves out what takes minutes, --only all rows without the word in their name. The results of one machine are kept
in bench/plan_results.md. Where perf is installed, the ten largest shares of a plan of 300 pieces follow."""
import argparse
import math
import os
import pathlib
import platform
import re
import resource
import shutil
import subprocess
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent
MARKS = {  # ms; what each row is to stay below, where it has a mark
    "arbor_plan": ("arbor: job text to plan, without checks and files", 5),
    "arbor_build_and_buy": ("arbor: build and buy alone", 0.5),
    "arbor_changed": ("arbor, one choice changed: pieces and price", 5),
    "arbor_checks": ("arbor: with all checks", None),
    "arbor_changed_checks": ("arbor, one choice changed: checks too", 50),
    "files_arbor": ("arbor: `garthwright plan`, all files", 150),
    "pergola_300": ("300 pieces: plan without checks and files", 120),
    "pergola_1000": ("1,000 pieces: the same", 450),
    "exponent": ("growth from 32 to 1,000 pieces: exponent over pieces", 1.15),
    "exponent_joints": ("the same over joints", None),
    "pergola_300_changed": ("300 pieces, one choice changed: pieces and price", 60),
    "pergola_300_changed_checks": ("300 pieces, one choice changed: checks too", 1500),
    "files_300": ("300 pieces: `garthwright plan`, everything", 6000),
    "files_1000": ("1,000 pieces: the same", 25000),
    "order_300": ("order of work, 300 pieces", 1000),
    "order_1000": ("order of work, 1,000 pieces", 6000),
}
GROWTH = ("pergola_32", "pergola_52", "pergola_122", "pergola_300", "pergola_670", "pergola_1000")
SHARES = 10
PERGOLA = """format = 1
[timber]
catalogue = "harrow-lane"
[[structure]]
pattern = "pergola"
[structure.choices]
length = {}
depth = 4000
rafters = {}
purlins = {}
"""


def processor_ms(words, runs):
    least = float("inf")
    for _ in range(runs):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(words, capture_output=True, check=False, env={**os.environ, "GARTHWRIGHT_SHARE": str(ROOT)})
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        least = min(least, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
        if least > 5:
            break
    return 1000 * least


def slope(points):
    x, y = ([math.log(p[k]) for p in points] for k in (0, 1))
    mx, my = sum(x) / len(x), sum(y) / len(y)
    return sum((a - mx) * (b - my) for a, b in zip(x, y)) / sum((a - mx) ** 2 for a in x)


class Build:
    """What was measured of one build: milliseconds by row, and pieces and joints of the rows that have them."""

    def __init__(self, folder, wanted, quick):
        self.folder, self.wanted, self.ms, self.sizes = folder, wanted, {}, {}
        for name in dict.fromkeys([*MARKS, *GROWTH]):
            if not name.startswith(("files", "exponent")) and wanted(name) and not (quick and name == "order_1000"):
                self.speed(name)
        self.fit()
        self.programs(quick)

    def speed(self, name):
        made = subprocess.run([f"{self.folder}/bench/plan_speed", name], capture_output=True, text=True, check=False)
        for line in made.stdout.splitlines():
            row, value, pieces, joints = line.split("\t")
            self.ms[row], self.sizes[row] = float(value), (int(pieces), int(joints))
        if made.returncode != 0:
            print(f"{name}: {made.stderr.strip()}")

    def fit(self):
        """How time grows: the slope of its logarithm over that of pieces, and over that of joints."""
        if all(row in self.ms for row in GROWTH):
            for k, name in enumerate(("exponent", "exponent_joints")):
                self.ms[name] = slope([(self.sizes[row][k], self.ms[row]) for row in GROWTH])

    def programs(self, quick):
        program = f"{self.folder}/garthwright"
        with tempfile.TemporaryDirectory() as folder:
            arbor = str(ROOT / "examples" / "arbor.toml")
            if self.wanted("files_arbor"):
                self.ms["files_arbor"] = processor_ms([program, "plan", arbor, "--out", folder], 3)
            for name, size in (("files_300", (30000, 75, 26)), ("files_1000", (40000, 100, 94))):
                if quick or not self.wanted(name):
                    continue
                job = pathlib.Path(folder) / f"{name}.toml"
                job.write_text(PERGOLA.format(*size), encoding="utf-8")
                self.ms[name] = processor_ms([program, "plan", str(job), "--out", folder], 1)
            if self.wanted("thrift"):
                for job in sorted((ROOT / "examples").glob("*.toml")):
                    self.ms[f"thrift_{job.stem}"] = processor_ms([program, "thrift", str(job)], 2)

    def profile(self):
        """The largest shares of the processor's time of a plan of 300 pieces, by function."""
        if shutil.which("perf") is None or not self.wanted("profile"):
            return []
        with tempfile.TemporaryDirectory() as folder:
            data = f"{folder}/perf.data"
            made = subprocess.run(
                ["perf", "record", "-q", "-F", "997", "-o", data, f"{self.folder}/bench/plan_speed", "pergola_300"],
                capture_output=True, check=False)
            if made.returncode != 0:
                return []
            told = subprocess.run(["perf", "report", "-i", data, "--stdio", "--no-children", "-g", "none", "--percent-limit", "0.3",
                                   "--sort", "symbol"], capture_output=True, text=True, check=False).stdout
        found = re.findall(r"^\s+([\d.]+)%\s+\[[.k]\]\s+(.*?)\s*$", told, re.M)
        return [(float(share), name.replace("garthwright::", "").replace("(anonymous namespace)::", "").split("(")[0])
                for share, name in found[:SHARES]]


def processor():
    names = re.findall(r"^model name\s*:\s*(.*)$", pathlib.Path("/proc/cpuinfo").read_text(encoding="utf-8"), re.M)
    return f"{names[0] if names else platform.processor()}, {os.cpu_count()} threads"


def commit():
    words = ["git", "-C", str(ROOT), "describe", "--always", "--dirty", "--abbrev=10", "--exclude", "*"]
    return subprocess.run(words, capture_output=True, text=True, check=False).stdout.strip()


def shown(value):
    return "not measured" if value is None else f"{value:.2f}" if value < 10 else f"{value:,.0f}"


def table(head, rows):
    yield f"| {' | '.join(head)} |\n|{'---|' * len(head)}"
    for row in rows:
        yield f"| {' | '.join(row)} |"
    yield ""


def told(builds, load):
    names = list(builds)
    yield f"""# Plans: figures measured

Written by `bench/plan_table.py {' '.join(f'{n}=…' for n in names)}` at {commit()}. {processor()};
load {load[0]:.1f} when it began and {os.getloadavg()[0]:.1f} when it ended. Processor milliseconds: where two threads work, of both.
"""
    yield from table(["ms of the processor", "mark", *names],
                     ([what, f"< {mark:g}" if mark else "", *(shown(b.ms.get(row)) for b in builds.values())]
                      for row, (what, mark) in MARKS.items() if any(row in b.ms for b in builds.values())))
    sizes = next(iter(builds.values())).sizes
    if any(row in sizes for row in GROWTH):
        yield "## Growth\n\nOne pergola, longer and with more rafters and purlins; plans without checks and files.\n"
        yield from table(["pieces", "joints", *names], ([*map(str, sizes[row]), *(shown(b.ms.get(row)) for b in builds.values())]
                                                      for row in GROWTH if row in sizes))
    thrift = sorted({row for b in builds.values() for row in b.ms if row.startswith("thrift_")})
    if thrift:
        yield "## `garthwright thrift`, all choices\n\nMarks: arbor below 300 ms, any other below 1,000.\n"
        yield from table(["job", *names], ([row.removeprefix("thrift_"), *(shown(b.ms.get(row)) for b in builds.values())]
                                           for row in thrift))
    for name, build in builds.items():
        shares = build.profile()
        if shares:
            yield f"## Where the time of 300 pieces goes: {name}\n\nPlan without checks and files, `perf record`, own time.\n"
            yield from table(["%", "function"], ([f"{share:.1f}", f"`{function}`"] for share, function in shares))


def main():
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("builds", nargs="+", metavar="NAME=BUILD_FOLDER")
    words.add_argument("--out", type=pathlib.Path)
    words.add_argument("--quick", action="store_true")
    words.add_argument("--only", default="")
    given = words.parse_args()
    load = os.getloadavg()
    builds = {name: Build(folder, lambda row: given.only in row, given.quick)
              for name, folder in (word.split("=", 1) for word in given.builds)}
    text = "\n".join(told(builds, load))
    if given.out:
        given.out.write_text(text + "\n", encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
