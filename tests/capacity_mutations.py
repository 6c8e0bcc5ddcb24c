#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Does a test notice when a strength is a tenth off?

Every number below is made a choice between itself and one that is 10 % off, taken when the program starts (the
variable MUTATION says which is off). strength_test is built once so, run once for each, and the sources are put back;
says which changes no test noticed. Not part of the test run: it takes some minutes.

    python3 tests/capacity_mutations.py [--build build/release] [--only TEXT] [--list]
"""
import argparse
import os
import pathlib
import re
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
ROOM = "src/strength/"

# file, text that stands there once: <what it has|what is a tenth off>
MUTATIONS = [
    ("ec5_connections.cc", "return predrilled ? <0.082|0.0902> *"),
    ("ec5_connections.cc", ": <0.082|0.0902> * rho_k * std::pow(d, -0.3)"),
    ("ec5_connections.cc", "{ return <0.082|0.0902> * (1 - 0.01 * d) * rho_k; }"),
    ("ec5_connections.cc", "Wood::softwood ? <1.35|1.485>"),
    ("ec5_connections.cc", "return <|1.1 * >coefficient * fu"),
    ("ec5_connections.cc", "return <0.15|0.165>;"),
    ("ec5_connections.cc", "return <0.5|0.55>;\n    case Fastener::screw"),
    ("ec5_connections.cc", "s.fax / <4|4.4>"),
    ("ec5_connections.cc", "return <1.05|1.155> * s.fh1 * s.t1 * s.d / (2 + beta)"),
    ("ec5_connections.cc", "return <1.15|1.265> * std::sqrt(2 * beta / (1 + beta))"),
    ("ec5_connections.cc", "<1.05|1.155> * s.fh1 * s.t2 * s.d / (1 + 2 * beta)"),
    ("ec5_connections.cc", "crush = <|1.1 * >s.fh1 * s.t1 * s.d;"),
    ("ec5_connections.cc", "{s.fh1 * s.t1 * s.d, <0.5|0.55> * s.fh2 * s.t2 * s.d,"),
    ("ec5_connections.cc", "<|1.1 * >(std::sqrt(2 + 4 * s.my"),
    ("ec5_connections.cc", "return <20e-6|22e-6> * rho_k"),
    ("ec5_connections.cc", "return <|1.1 * >fax_k * d * penetration *"),
    ("ec5_connections.cc", "return <0.52|0.572> * std::pow(d, -0.5)"),
    ("ec5_connections.cc", "std::min(d / <8|8.8>, 1.0)"),
    ("ec5_connections.cc", "return <|1.1 * >fax_k * d * lef /"),
    ("ec5_connections.cc", "return <|1.1 * >fhead_k * head * head"),
    ("ec5_connections.cc", "return std::pow(n, <0.9|0.99>);"),
    ("ec5_connections.cc", "return <3|3.3> * fc_90_k"),
    ("ec5_connections.cc", "if (a >= 10) return <0.85|0.935>"),
    ("ec5_connections.cc", "<|1.1 * >std::pow(n, 0.9) * std::pow(a1"),
    ("ec5_connections.cc", "return <14|15.4> * b * w"),
    ("ec5_connections.cc", "(7 + 5 * pull) * d, <7|6.3> * d,"),
    ("ec5_connections.cc", "std::max(7 * d, <80.0|72.0>)"),
    ("ec5_connections.cc", "return {7 * d, 5 * d, <10|9> * d, 4 * d};"),
    ("nds_connections.cc", "return <11200|12320> * g;"),
    ("nds_connections.cc", "return <6100|6710> *"),
    ("nds_connections.cc", "return <16600|18260> *"),
    ("nds_connections.cc", "? <2.2|2.42> : 10 * of + 0.5"),
    ("nds_connections.cc", "<3.2|3.52> * k_theta}"),
    ("nds_connections.cc", "return <1800|1980> * std::pow(g, 1.5)"),
    ("nds_connections.cc", "return <2850|3135> * g * g"),
    ("nds_connections.cc", "return <1380|1518> *"),
    ("nds_connections.cc", "return <1800|1980> * g * g * d;"),
    ("nds_connections.cc", "? <690|759> * pi"),
    ("nds_connections.cc", ": <1725|1897.5> * pi"),
    ("nds_connections.cc", "return <|1.1 * >fc_perp * area *"),
    ("nds_connections.cc", "return {<7|6.3> * d, 3.5 * d, 4 * d,"),
    ("nds_values.h", "kEndGrainLateral = <0.67|0.737>"),
    ("nds_values.h", "kEndGrainLag = <0.75|0.825>"),
    ("fixing_strength.cc", "constexpr double kSteel = <1.3|1.43>;"),
    ("fixing_strength.cc", "kDryingNails = <2.0|2.2> / 3;"),
    ("fixing_values.cc", "kWoodScrew{<8|8.8>, 8, 500, 200, 0.62}"),
    ("fixing_values.cc", "kWoodScrew{8, <8|8.8>, 500, 200, 0.62}"),
    ("fixing_values.cc", "kStructural{<10|11>, 10, 600, 250, 0.62}"),
    ("fixing_values.cc", "kStainless{8, 8, 400, <150|165>, 0.62}"),
    ("fixing_values.cc", "kStructuralWasherHead = <11|12.1>;"),
    ("fixing_values.cc", "kBoltSteel = <400|440>;"),
    ("wall_fixings.cc", '"unknown", <500|550>, 1000'),
    ("wall_fixings.cc", '"solid brick", 1500, <2500|2750>'),
    ("wall_fixings.cc", '"aerated", 600, 1000, <2.0|2.2>'),
    ("ec5_connections.cc", "return <|1.1 * >rho * d / 23;"),
]

CHOICE = """
#include <cstdlib>
namespace garthwright_mutation {
inline double choose(int which, double sound, double off) {
  static const char* const asked = std::getenv("MUTATION");
  return asked != nullptr && std::atoi(asked) == which ? off : sound;
}
}  // namespace garthwright_mutation
"""


def at_run_time(text):
    """What was to be known when compiling is reckoned when the program starts."""
    return re.sub(r"\bconstexpr (?=[\w:<>, ]+ k[A-Z])", "const ", text)


def mutated(text, changes):
    """`changes`: number and marked text."""
    places = []
    for which, marked in changes:
        before, sound, off, after = re.fullmatch(r"(.*)<([^|]*)[|]([^>]*)>(.*)", marked, re.S).groups()
        if text.count(before + sound + after) != 1:
            sys.exit(f"{before + sound + after!r} stands there {text.count(before + sound + after)} times")
        at = text.index(before + sound + after) + len(before)
        times = "" if sound else " * "
        choice = f"garthwright_mutation::choose({which}, {sound or 1}, {off.removesuffix(' * ')}){times}"
        places.append((at, at + len(sound), choice))
    for start, end, choice in sorted(places, reverse=True):
        text = text[:start] + choice + text[end:]
    first = text.index("#include")
    return text[:first] + CHOICE.lstrip("\n") + at_run_time(text[first:])


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--build", default="build/release")
    parser.add_argument("--only", default="")
    parser.add_argument("--list", action="store_true")
    parser.add_argument("--filter", default="*", help="of gtest, for a quicker look")
    parser.add_argument("--make", default="cmake --build {build} --target strength_test", help="what builds the tests")
    args = parser.parse_args()
    build = ROOT / args.build
    wanted = [(i, file, marked) for i, (file, marked) in enumerate(MUTATIONS) if args.only in file + marked]
    if args.list:
        for i, file, marked in wanted:
            print(f"{i} {file}: {marked!r}")
        return 0
    sound, missed = {}, []
    try:
        for name in sorted({file for _, file, _ in wanted}):
            path = ROOT / ROOM / name
            sound[path] = path.read_text()
            path.write_text(mutated(sound[path], [(i, marked) for i, f, marked in wanted if f == name]))
        subprocess.run(args.make.format(build=build), shell=True, cwd=ROOT, check=True)
        test = next(p for p in build.rglob("strength_test") if p.is_file())
        run = [test, f"--gtest_filter={args.filter}", "--gtest_brief=1"]
        if subprocess.run(run, stdout=subprocess.DEVNULL).returncode != 0:
            sys.exit("the tests fail as they are")
        for i, file, marked in wanted:
            env = {**os.environ, "MUTATION": str(i)}
            done = subprocess.run(run, stdout=subprocess.PIPE, env=env)
            failed = [line for line in done.stdout.decode().splitlines() if line.startswith("[  FAILED  ]")]
            print(f"{'noticed' if failed else 'MISSED '}  {file}: {marked!r}  {failed[0][13:80] if failed else ''}", flush=True)
            if not failed:
                missed.append((file, marked))
    finally:
        for path, text in sound.items():
            path.write_text(text)
    print(f"{len(wanted) - len(missed)} of {len(wanted)} noticed")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
