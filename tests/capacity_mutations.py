#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Does a test notice when a strength is a tenth off?

Every number below is made a choice between itself and one that is 10 % off, taken when the program starts (the
variable MUTATION says which is off). The tests of both rooms are built once so, run once for each, and the sources are
put back as soon as they are built; says which changes no test noticed. Only tests that ask a check as a user gets it
count: those of bare formulas are left out. Not part of the test run: it takes some minutes.

    python3 tests/capacity_mutations.py [--build build/release] [--only TEXT] [--list]
"""
import argparse
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parent.parent
ROOM = "src/strength/"
TESTS = ["strength_test", "ground_test"]
THROUGH_CHECKS = "-Published*:Formulas*:RandomNumbers*:SlipModuli*"

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
    ("fixing_strength.cc", "r.lateral = <|1.1 * >f.make.side_n *"),
    ("fixing_strength.cc", "r.axial = <|1.1 * >f.make.pull_n *"),
    ("fixing_strength.cc", "return {<|1.1 * >k * f.make.side_n,"),
    ("fixing_strength.cc", "f.make.side_n, <|1.1 * >k * f.make.pull_n,"),
    ("nds_values.cc", "use == WetUse::wet ? <0.7|0.77>"),
    ("nds_values.h", "kThreadWithdrawalWet = <0.7|0.77>"),
    ("nds_values.cc", "return changes ? <0.25|0.275>"),
    # timbers
    ("ec5_members.cc", "kWet = {0.50, 0.55, 0.65, <0.70|0.77>, 0.90}"),
    ("ec5_members.cc", "kWet = {0.50, 0.55, 0.65, 0.70, <0.90|0.99>}"),
    ("ec5_members.cc", "case Material::connection:\n      return <1.3|1.43>"),
    ("ec5_members.cc", "std::pow(<150|165> / size, 0.2)"),
    ("ec5_members.cc", "0.5 * (1 + betac * (s.lambda_rel - <0.3|0.15>)"),
    ("ec5_members.cc", "return <0.78|0.858> * b * b * e0_05"),
    ("ec5_members.cc", "<1.56|1.716> - 0.75 * l"),
    ("ec5_members.cc", "std::sqrt(a * (1 - a)) + <0.8|0.7> * x / h"),
    ("ec5_members.cc", "return <|1.1 * >kv * fv_d * kcr"),
    ("ec5_members.cc", "std::min({<30.0|40.0>, free"),
    ("ec5_members.cc", "return <|1.1 * >fc_0_d / (fc_0_d / (kc90"),
    ("ec5_members.h", "kKcrSolid = <0.67|0.737>"),
    ("ec5_members.h", "kKm = <0.7|0.77>"),
    ("en338.cc", '"C24", true,  <24|26.4>, 14.5'),
    ("en338.cc", '"C24", true,  24, <14.5|15.95>'),
    ("en338.cc", '"C24", true,  24, 14.5, 0.4, <21|23.1>'),
    ("en338.cc", '"C24", true,  24, 14.5, 0.4, 21, <2.5|2.75>'),
    ("en338.cc", '"C24", true,  24, 14.5, 0.4, 21, 2.5, <4.0|4.4>'),
    ("en338.cc", '"C24", true,  24, 14.5, 0.4, 21, 2.5, 4.0, 11000,  <7400|8140>'),
    ("en338.cc", '"C16", true,  16,  8.5, 0.4, <17|18.7>'),
    ("en338.cc", '"C18", true,  18, 10.0, 0.4, <18|19.8>'),
    ("nds_members.cc", "r.f_ce = <0.822|0.904> *"),
    ("nds_members.cc", "lu / d < 7 ? <2.06|1.85> * lu"),
    ("nds_members.cc", "<1.63|1.47> * lu + 3 * d"),
    ("nds_members.cc", "r.f_be = <1.2|1.32> *"),
    ("nds_members.cc", "return <|1.1 * >shear(fv_prime, b, dn)"),
    ("nds_members.cc", "(lb + <0.375|1.0>) / lb"),
    ("nds_values.cc", "4b,  2,  4, <1100|1210>"),
    ("nds_values.cc", "4b,  2,  4, 1100, <675|742>"),
    ("nds_values.cc", "4b,  2,  4, 1100, 675, <175|192>"),
    ("nds_values.cc", "4b,  2,  4, 1100, 675, 175, <565|621>"),
    ("nds_values.cc", "4b,  2,  4, 1100, 675, 175, 565, <1450|1595>"),
    ("nds_values.cc", "4b,  2,  4, 1100, 675, 175, 565, 1450, 1400000, <510000|561000>"),
    ("nds_values.cc", "4b,  8,  8,  <925|1017>"),
    ("nds_values.cc", 'dimension_4a, 2, 14, <875|962>'),
    ("nds_values.cc", '"Western Cedars", "No.2", Table::dimension_4a,     2, 14,  <700|770>'),
    ("nds_values.cc", '"Hem-Fir", "No.2", Table::dimension_4a,            2, 14,  850, 525, <150|165>'),
    ("nds_values.cc", 'timbers_4d,        5, 99,  <850|935>'),
    ("nds_values.cc", 'kBending = {\n      {{4, <1.5|1.65>, 1.5}'),
    ("nds_values.cc", "kCompression = {\n      {{4, <1.15|1.265>, 1.15}"),
    ("nds_values.cc", "case Property::fc_perp:\n      return <0.67|0.737>"),
    ("nds_values.cc", "case Property::fv:\n      return <0.97|1.067>"),
    ("nds_values.cc", "value_times_cf <= 750 ? 1 : <0.8|0.88>"),
    ("nds_values.cc", "case Property::e:\n      return <0.9|0.99>"),
    ("nds_values.cc", 'Species{"Southern Pine", <0.55|0.605>'),
    ("model.cc", "kRocksOn = <0.94|0.85>"),
    ("site_loads.cc", "return c * <|0.9 * >wind_en::end_effect"),
    # ground
    ("../ground/broms.cc", "r.force_kn = <9|9.9> * cu"),
    ("../ground/broms.cc", "d = depth - <1.5|1.35> * b"),
    ("../ground/broms.cc", "r.force_kn = <0.5|0.55> * gamma"),
    ("../ground/broms.cc", "return <|1.1 * >t * t;"),
    ("../ground/ibc_posts.cc", "q * b * d * d * d / (<7.02|6.38> *"),
    ("../ground/ibc_posts.cc", "(d + <1.09|0.98> * h))"),
    ("../ground/soil.cc", '200, 0.35, 0},\n    Presumptive{4, "sand, silty or clayey sand, silty or clayey gravel", <2000|2200>'),
    ("../ground/soil.cc", 'silty or clayey gravel", 2000, <150|165>'),
    ("../ground/soil.cc", 'Presumptive{3, "sandy gravel, gravel", <3000|3300>'),
    ("../ground/soil.cc", 'Presumptive{3, "sandy gravel, gravel", 3000, <200|220>'),
    ("../ground/soil.cc", 'sandy silt", <1500|1650>'),
    ("../ground/soil.cc", 'sandy silt", 1500, <100|110>'),
    ("../ground/soil.cc", 'Granular{"medium_sand", <18|19.8>, 32}'),
    ("../ground/soil.cc", 'Granular{"medium_sand", 18, <32|35>}'),
    ("../ground/soil.cc", 'Granular{"loose_sand", 17, <28|31>}'),
    ("../ground/soil.cc", 'Granular{"dense_sand", 20, <36|39>}'),
    ("../ground/soil.cc", 'Granular{"gravel", 20, <36|39>}'),
    ("../ground/soil.cc", "{40, 75}, {<75|82>, 150}"),
    ("../ground/soil.cc", "{20, 40}, {<40|44>, 75}"),
    ("../ground/study.cc", "constexpr double kConcrete = <23|25.3>;"),
    ("../ground/study.cc", "(us ? <0.6|0.66> : 0.9)"),
    ("../ground/study.cc", "(us ? 0.6 : <0.9|0.99>)"),
    ("../ground/study.cc", "kUpliftSafety = <3|2.7>;"),
    ("../ground/study.cc", "kAdhesion = <0.45|0.495>;"),
    ("../ground/study.h", "kDa1Combination2{<1.3|1.17>, 1.25, 1.4, 1}"),
    ("../ground/study.h", "kDa1Combination2{1.3, <1.25|1.125>, 1.4, 1}"),
    ("../ground/study.h", "kDa1Combination2{1.3, 1.25, <1.4|1.26>, 1}"),
    ("../ground/study.h", "kDa1Combination1{<1.5|1.8>, 1, 1, 1.35}"),
]

CHOICE = """
#ifndef GARTHWRIGHT_MUTATION
#define GARTHWRIGHT_MUTATION
#include <cstdlib>
namespace garthwright_mutation {
inline double choose(int which, double sound, double off) {
  static const char* const asked = std::getenv("MUTATION");
  return asked != nullptr && std::atoi(asked) == which ? off : sound;
}
}  // namespace garthwright_mutation
#endif
"""


def at_run_time(text):
    """What was to be known when compiling is reckoned when the program starts."""
    text = re.sub(r"\bconstexpr (?=[\w:<>, ]+ ?k[A-Z])", "const ", text)
    return re.sub(r"\bconstexpr (?=std::array k[A-Z])", "const ", text)


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
    parser.add_argument("--filter", default=THROUGH_CHECKS, help="of gtest, for a quicker look")
    parser.add_argument("--make", default="cmake --build {build} --target " + " ".join(TESTS), help="what builds the tests")
    args = parser.parse_args()
    build = ROOT / args.build
    wanted = [(i, file, marked) for i, (file, marked) in enumerate(MUTATIONS) if args.only in file + marked]
    if args.list:
        for i, file, marked in wanted:
            print(f"{i} {file}: {marked!r}")
        return 0
    sound, missed = {}, []
    with tempfile.TemporaryDirectory() as away:
        try:
            for name in sorted({file for _, file, _ in wanted}):
                path = (ROOT / ROOM / name).resolve()
                sound[path] = path.read_text()
                path.write_text(mutated(sound[path], [(i, marked) for i, f, marked in wanted if f == name]))
            subprocess.run(args.make.format(build=build), shell=True, cwd=ROOT, check=True)
            tests = [shutil.copy(next(p for p in build.rglob(name) if p.is_file()), away) for name in TESTS]
        finally:
            for path, text in sound.items():
                path.write_text(text)

        def failing(mutation):
            env = {**os.environ, "MUTATION": str(mutation)}
            for test in tests:
                run = [test, f"--gtest_filter={args.filter}", "--gtest_brief=1", "--gtest_fail_fast"]
                done = subprocess.run(run, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=env)
                if done.returncode != 0:
                    failed = re.findall(r"^\[  FAILED  \] ([^ ,]+)", done.stdout.decode(), re.M)
                    return failed[0] if failed else "ended early"
            return ""

        if failing(-1):
            sys.exit(f"the tests fail as they are: {failing(-1)}")
        for i, file, marked in wanted:
            failed = failing(i)
            print(f"{'noticed' if failed else 'MISSED '}  {file}: {marked!r}  {failed}", flush=True)
            if not failed:
                missed.append((file, marked))
    print(f"{len(wanted) - len(missed)} of {len(wanted)} noticed")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
