#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Does a test notice when a strength is a tenth off?

Changes one number of the fixings' formulas in the source by 10 %, builds strength_test, runs it, and puts the source
back; says which changes no test noticed. Not part of the test run: each change is a build.

    python3 tests/capacity_mutations.py [--build build/release] [--only TEXT] [--list]
"""
import argparse
import pathlib
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parent.parent
ROOM = "src/strength/"

# file, text that stands there once, what takes its place
MUTATIONS = [
    ("ec5_connections.cc", "return predrilled ? 0.082 *", "return predrilled ? 0.0902 *"),
    ("ec5_connections.cc", ": 0.082 * rho_k * std::pow(d, -0.3)", ": 0.0902 * rho_k * std::pow(d, -0.3)"),
    ("ec5_connections.cc", "{ return 0.082 * (1 - 0.01 * d) * rho_k; }", "{ return 0.0902 * (1 - 0.01 * d) * rho_k; }"),
    ("ec5_connections.cc", "Wood::softwood ? 1.35", "Wood::softwood ? 1.485"),
    ("ec5_connections.cc", "return coefficient * fu", "return 1.1 * coefficient * fu"),
    ("ec5_connections.cc", "return 0.15;", "return 0.165;"),
    ("ec5_connections.cc", "return 0.5;\n    case Fastener::screw", "return 0.55;\n    case Fastener::screw"),
    ("ec5_connections.cc", "s.fax / 4", "s.fax / 4.4"),
    ("ec5_connections.cc", "return 1.05 * s.fh1 * s.t1 * s.d / (2 + beta)", "return 1.155 * s.fh1 * s.t1 * s.d / (2 + beta)"),
    ("ec5_connections.cc", "return 1.15 * std::sqrt(2 * beta / (1 + beta))", "return 1.265 * std::sqrt(2 * beta / (1 + beta))"),
    ("ec5_connections.cc", "1.05 * s.fh1 * s.t2 * s.d / (1 + 2 * beta)", "1.155 * s.fh1 * s.t2 * s.d / (1 + 2 * beta)"),
    ("ec5_connections.cc", "crush = s.fh1 * s.t1 * s.d;", "crush = 1.1 * s.fh1 * s.t1 * s.d;"),
    ("ec5_connections.cc", "{s.fh1 * s.t1 * s.d, 0.5 * s.fh2 * s.t2 * s.d,", "{s.fh1 * s.t1 * s.d, 0.55 * s.fh2 * s.t2 * s.d,"),
    ("ec5_connections.cc", "(std::sqrt(2 + 4 * s.my", "1.1 * (std::sqrt(2 + 4 * s.my"),
    ("ec5_connections.cc", "return 20e-6 * rho_k", "return 22e-6 * rho_k"),
    ("ec5_connections.cc", "return fax_k * d * penetration *", "return 1.1 * fax_k * d * penetration *"),
    ("ec5_connections.cc", "return 0.52 * std::pow(d, -0.5)", "return 0.572 * std::pow(d, -0.5)"),
    ("ec5_connections.cc", "std::min(d / 8, 1.0)", "std::min(d / 8.8, 1.0)"),
    ("ec5_connections.cc", "return fax_k * d * lef /", "return 1.1 * fax_k * d * lef /"),
    ("ec5_connections.cc", "return fhead_k * head * head", "return 1.1 * fhead_k * head * head"),
    ("ec5_connections.cc", "return std::pow(n, 0.9);", "return std::pow(n, 0.99);"),
    ("ec5_connections.cc", "return 3 * fc_90_k", "return 3.3 * fc_90_k"),
    ("ec5_connections.cc", "if (a >= 10) return 0.85", "if (a >= 10) return 0.935"),
    ("ec5_connections.cc", "std::pow(n, 0.9) * std::pow(a1", "1.1 * std::pow(n, 0.9) * std::pow(a1"),
    ("ec5_connections.cc", "return 14 * b * w", "return 15.4 * b * w"),
    ("ec5_connections.cc", "(7 + 5 * pull) * d, 7 * d,", "(7 + 5 * pull) * d, 6.3 * d,"),
    ("ec5_connections.cc", "std::max(7 * d, 80.0)", "std::max(7 * d, 72.0)"),
    ("ec5_connections.cc", "return {7 * d, 5 * d, 10 * d, 4 * d};", "return {7 * d, 5 * d, 9 * d, 4 * d};"),
    ("nds_connections.cc", "return 11200 * g;", "return 12320 * g;"),
    ("nds_connections.cc", "return 6100 *", "return 6710 *"),
    ("nds_connections.cc", "return 16600 *", "return 18260 *"),
    ("nds_connections.cc", "? 2.2 : 10 * of + 0.5", "? 2.42 : 10 * of + 0.5"),
    ("nds_connections.cc", "3.2 * k_theta}", "3.52 * k_theta}"),
    ("nds_connections.cc", "return 1800 * std::pow(g, 1.5)", "return 1980 * std::pow(g, 1.5)"),
    ("nds_connections.cc", "return 2850 * g * g", "return 3135 * g * g"),
    ("nds_connections.cc", "return 1380 *", "return 1518 *"),
    ("nds_connections.cc", "return 1800 * g * g * d;", "return 1980 * g * g * d;"),
    ("nds_connections.cc", "? 690 * pi", "? 759 * pi"),
    ("nds_connections.cc", ": 1725 * pi", ": 1897.5 * pi"),
    ("nds_connections.cc", "return fc_perp * area *", "return 1.1 * fc_perp * area *"),
    ("nds_connections.cc", "return {7 * d, 3.5 * d, 4 * d,", "return {6.3 * d, 3.5 * d, 4 * d,"),
    ("nds_values.h", "kEndGrainLateral = 0.67", "kEndGrainLateral = 0.737"),
    ("nds_values.h", "kEndGrainLag = 0.75", "kEndGrainLag = 0.825"),
    ("fixing_strength.cc", "constexpr double kSteel = 1.3;", "constexpr double kSteel = 1.43;"),
    ("fixing_strength.cc", "kDryingNails = 2.0 / 3;", "kDryingNails = 2.2 / 3;"),
    ("fixing_values.cc", "kWoodScrew{8, 8, 500, 200, 0.62}", "kWoodScrew{8.8, 8, 500, 200, 0.62}"),
    ("fixing_values.cc", "kWoodScrew{8, 8, 500, 200, 0.62}", "kWoodScrew{8, 8.8, 500, 200, 0.62}"),
    ("fixing_values.cc", "kStructural{10, 10, 600, 250, 0.62}", "kStructural{11, 10, 600, 250, 0.62}"),
    ("fixing_values.cc", "kStainless{8, 8, 400, 150, 0.62}", "kStainless{8, 8, 400, 165, 0.62}"),
    ("fixing_values.cc", "kStructuralWasherHead = 11;", "kStructuralWasherHead = 12.1;"),
    ("fixing_values.cc", "kBoltSteel = 400;", "kBoltSteel = 440;"),
    ("wall_fixings.cc", '"unknown", 500, 1000', '"unknown", 550, 1000'),
    ("wall_fixings.cc", '"solid brick", 1500, 2500', '"solid brick", 1500, 2750'),
    ("wall_fixings.cc", '"aerated", 600, 1000, 2.0', '"aerated", 600, 1000, 2.2'),
    ("ec5_connections.cc", "return rho * d / 23;", "return 1.1 * rho * d / 23;"),
]


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--build", default="build/release")
    parser.add_argument("--only", default="")
    parser.add_argument("--list", action="store_true")
    parser.add_argument("--filter", default="*", help="of gtest, for a quicker look")
    args = parser.parse_args()
    build = ROOT / args.build
    missed, tried = [], 0
    for file, old, new in MUTATIONS:
        if args.only not in file + old:
            continue
        path = ROOT / ROOM / file
        text = path.read_text()
        if text.count(old) != 1:
            sys.exit(f"{file}: {old!r} stands there {text.count(old)} times")
        if args.list:
            print(f"{file}: {old!r} -> {new!r}")
            continue
        tried += 1
        try:
            path.write_text(text.replace(old, new))
            subprocess.run(["cmake", "--build", build, "--target", "strength_test", "-j2"], check=True,
                           stdout=subprocess.DEVNULL)
            test = subprocess.run([build / "strength_test", f"--gtest_filter={args.filter}"], stdout=subprocess.PIPE)
            failed = [line for line in test.stdout.decode().splitlines() if line.startswith("[  FAILED  ]")]
        finally:
            path.write_text(text)
        print(f"{'noticed' if failed else 'MISSED '}  {file}: {new!r}  {failed[0][13:80] if failed else ''}", flush=True)
        if not failed:
            missed.append((file, new))
    if not args.list:
        print(f"{tried - len(missed)} of {tried} noticed")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
