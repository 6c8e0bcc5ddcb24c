#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""How long plans take, as a table: one column for each build. Processor seconds, so that a machine that is shared says the
same; the least of three runs of what is quick, one run of what is not.

    bench/plan_table.py NAME=BUILD_FOLDER [NAME=BUILD_FOLDER…] [--quick]

A build folder holds the programs garthwright and bench/plan_speed; --quick leaves out what takes minutes. The results of
one machine are kept in bench/plan_results.md."""
import os
import pathlib
import resource
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent
MARKS = {  # ms; what each row is to stay below
    "arbor_plan": ("arbor: job text to plan, without checks and files", 5),
    "arbor_build_and_buy": ("arbor: build and buy alone", 0.5),
    "arbor_changed": ("arbor, one choice changed: pieces and price", 5),
    "arbor_changed_checks": ("the same, checks too", 50),
    "pergola_300": ("300 pieces: plan without checks and files", 120),
    "pergola_1000": ("1,000 pieces: the same", 450),
    "exponent": ("growth from 32 to 1,000 pieces, exponent of a fit", 1.15),
    "pergola_300_changed": ("300 pieces, one choice changed: pieces and price", 60),
    "pergola_300_changed_checks": ("the same, checks too", 1500),
    "files_arbor": ("arbor: `garthwright plan`, all files", 150),
    "thrift_arbor": ("arbor: `garthwright thrift`, all choices", 300),
    "files_300": ("300 pieces: `garthwright plan`, everything", 6000),
    "files_1000": ("1,000 pieces: the same", 25000),
}
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
    return 1000 * least


def rows(build, quick):
    found = {}
    for line in subprocess.run([f"{build}/bench/plan_speed"], capture_output=True, text=True, check=True).stdout.splitlines():
        name, value, _ = line.split("\t")
        found[name] = float(value)
    with tempfile.TemporaryDirectory() as folder:
        program, arbor = f"{build}/garthwright", str(ROOT / "examples" / "arbor.toml")
        found["files_arbor"] = processor_ms([program, "plan", arbor, "--out", folder], 3)
        found["thrift_arbor"] = processor_ms([program, "thrift", arbor], 3)
        for name, size in (() if quick else (("files_300", (30000, 75, 26)), ("files_1000", (40000, 100, 94)))):
            job = pathlib.Path(folder) / f"{name}.toml"
            job.write_text(PERGOLA.format(*size), encoding="utf-8")
            found[name] = processor_ms([program, "plan", str(job), "--out", folder], 1)
    return found


def main():
    builds = dict(word.split("=", 1) for word in sys.argv[1:] if "=" in word)
    if not builds:
        sys.exit(__doc__)
    columns = {name: rows(build, "--quick" in sys.argv) for name, build in builds.items()}
    print(f"| ms of the processor | mark | {' | '.join(columns)} |\n|---|---|{'---|' * len(columns)}")
    for row, (what, mark) in MARKS.items():
        values = [f"{column[row]:.3g}" if row in column else "not measured" for column in columns.values()]
        print(f"| {what} | < {mark:g} | {' | '.join(values)} |")


if __name__ == "__main__":
    main()
