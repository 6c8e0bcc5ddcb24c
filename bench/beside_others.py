#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The kernels beside what one would use instead, in one run: solids beside a plain program on Open CASCADE, frames beside
CalculiX, cutting beside general solvers. Writes bench/beside_others.md.

    bench/beside_others.py BUILD_FOLDER [--sets FOLDER] [--jobs N]

--sets: a folder with the academic cutting sets; without it only workshop jobs are cut. Build with `./dev bench solid_beside`,
`./dev bench frame` and `./dev bench cutting_side` first. What each column means stands at the top of the program's source."""
import argparse
import json
import os
import pathlib
import subprocess

from plan_table import ROOT, commit, processor


def output(words):
    made = subprocess.run([str(w) for w in words], capture_output=True, text=True, check=False)
    return made.stdout if made.returncode == 0 else f"Not measured: {made.stderr.strip() or made.returncode}\n"


def frames(build):
    """Milliseconds of ours (ten load cases) and of CalculiX (one), by members."""
    told = json.loads(output([build / "bench/frame_growth", "--benchmark_filter=^(Ours|Calculix)/[0-9]+", "--benchmark_format=json"]))
    ms = {}
    for run in told["benchmarks"]:
        if run.get("run_type") == "iteration" and not run.get("error_occurred"):
            ms.setdefault(int(run["members"]), {})[run["name"].split("/")[0]] = run["real_time"]
    yield "| members | ours, 10 cases, ms | CalculiX, 1 case, ms | CalculiX over ours |\n|---|---|---|---|"
    for members, of in sorted(ms.items()):
        if len(of) == 2:
            yield f"| {members} | {of['Ours']:.1f} | {of['Calculix']:.0f} | {of['Calculix'] / of['Ours']:.0f} |"


def main():
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("build", type=pathlib.Path)
    words.add_argument("--sets", type=pathlib.Path)
    words.add_argument("--jobs", type=int, default=10)
    given = words.parse_args()
    load = os.getloadavg()[0]
    cut = [given.build / "bench/cutting_side_by_side", "--jobs", given.jobs, "--limit-s", 5]
    parts = [f"# Beside others: figures measured\n\nWritten by `bench/beside_others.py` at {commit()}. {processor()};",
             "## Solids\n\n`solid_beside_booleans`, processor milliseconds; `apart` is the largest relative difference of a volume.\n",
             output([given.build / "bench/solid_beside_booleans"]),
             "## Frames\n\n`frame_growth`, by the clock. CalculiX is its whole run as a program, with one B32R brick to a member: more "
             "unknowns than a\nbar has, and files read and written. It is what one would use instead, not the same work.\n",
             "\n".join(frames(given.build)) + "\n",
             "## Cutting\n\n`cutting_side_by_side`: processor times, medians; in brackets how many are proven.\n\n```",
             output(cut + (["--sets", given.sets, "--of-set", 3] if given.sets else [])) + "```\n"]
    parts[0] += f" load {load:.1f} when it began and {os.getloadavg()[0]:.1f} when it ended.\n"
    text = "\n".join(parts)
    (ROOT / "bench" / "beside_others.md").write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
