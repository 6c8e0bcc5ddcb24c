#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Holds that a new user reaches a structure that stands: those of the examples that are said to, and their patterns by
their own defaults in both yards, pass all their checks and can be built in some order."""
import json
import tempfile
import unittest
from pathlib import Path

from program import EXAMPLES, ROOT, ProgramTest, run

JOB = """format = 1
units = "{units}"
[timber]
catalogue = "{yard}"
[[structure]]
pattern = "{pattern}"
[structure.choices]
{choices}
"""
FENCES = ["close-board", "picket", "hit-and-miss", "slatted", "post-and-rail", "panels", "trellis"]
NEEDED = {  # what has no default, at sizes round about what is usual
    ("arbor", "harrow-lane"): ["opening = 900", "opening = 1350", "opening = 1600", "opening = 1800", "opening = 2400",
                                "opening = 1350\nfeet = \"shoe\""],
    ("arbor", "mill-creek"): ['opening = "3 ft"', 'opening = "4 ft 2 in"', 'opening = "4 ft 6 in"',
                                'opening = "4 ft 2 in"\nfeet = "shoe"'],
    ("pergola", "harrow-lane"): ["length = 3600\ndepth = 2700", "length = 2700\ndepth = 2700",
                                 "length = 4200\ndepth = 2900", "length = 5400\ndepth = 3100",
                                 "length = 6000\ndepth = 2700", "length = 9000\ndepth = 2700", "length = 3600\ndepth = 3300",
                                 "length = 7200\ndepth = 2600\nfall = 10",
                                 "length = 3600\ndepth = 2700\nfeet = \"shoe\"", "length = 5400\ndepth = 3000\nfeet = \"shoe\"",
                                 "length = 3600\ndepth = 2700\nfall = 5", "length = 3600\ndepth = 2700\nwing = 2400"],
    ("pergola", "mill-creek"): ['length = "12 ft"\ndepth = "8 ft"', 'length = "10 ft"\ndepth = "8 ft"',
                                'length = "16 ft"\ndepth = "10 ft"', 'length = "12 ft"\ndepth = "8 ft"\nfeet = "shoe"', 'length = "20 ft"\ndepth = "9 ft"',
                                'length = "24 ft"\ndepth = "12 ft"',
                                'length = "12 ft"\ndepth = "8 ft"\nfall = 5', 'length = "12 ft"\ndepth = "8 ft"\nwing = "8 ft"'],
    # Longer than any board; without ties; tall; of sleepers.
    ("raised-bed", "harrow-lane"): ["capping = true", "length = 6000", 'shape = "L"\nlength = 3000\nwidth = 2400', "courses = 4",
                                    'shape = "against a wall"\nlength = 3600\nwidth = 600', 'board = "sleeper 8x4"'],
    ("raised-bed", "mill-creek"): ["capping = true", 'length = "20 ft"', 'shape = "L"\nlength = "10 ft"\nwidth = "8 ft"', "courses = 4",
                                   'shape = "against a wall"', 'board = "6x6"'],
    ("bench", "harrow-lane"): ["", 'kind = "backless"', 'kind = "with arms"'],
    ("bench", "mill-creek"): ["", 'kind = "backless"', 'kind = "with arms"'],
    ("gate", "harrow-lane"): ["", 'kind = "picket"', "opening = 2700", 'opening = 2700\nkind = "picket"',
                              'opening = 2700\nkind = "framed"', 'kind = "field"'],
    ("gate", "mill-creek"): ["", 'kind = "picket"', 'kind = "field"', 'opening = "8 ft"'],
    ("fence", "harrow-lane"): [f'kind = "{kind}"' for kind in FENCES],
    ("fence", "mill-creek"): [f'kind = "{kind}"' for kind in FENCES] + ['height = "6 ft"'],
    # Depths that whole boards do not make up; a width that is longer than any board sold; low risers.
    ("deck", "harrow-lane"): ["", "height = 800\nwidth = 2700\ndepth = 2340", "width = 900\ndepth = 1500",
                              "width = 4800\ndepth = 2200", "width = 1800\nheight = 400", "width = 1800\nheight = 500",
                              "width = 1800\nheight = 850", "height = 300", "height = 280", "height = 320", "width = 4500\nheight = 600",
                              "width = 4500\ndepth = 3000\nheight = 880", "height = 600\nhandrail = \"both sides\""],
    ("deck", "mill-creek"): ["", 'height = "34 in"', 'width = "12 ft"\ndepth = "9 ft"', 'height = "20 in"', 'height = "12 in"'],
    ("seat-arbor", "harrow-lane"): ["", "persons = 3", 'feet = "shoe"', 'persons = 3\nfeet = "shoe"'],
    ("seat-arbor", "mill-creek"): ["", "persons = 3", 'feet = "shoe"', 'persons = 3\nfeet = "shoe"'],
    ("log-store", "harrow-lane"): [""],
    ("log-store", "mill-creek"): [""],
    ("table-bed", "harrow-lane"): [""],
    ("table-bed", "mill-creek"): [""],
    ("planter", "harrow-lane"): ["", "length = 800\nwidth = 350\nsplay = 7", "length = 450\nwidth = 450", "length = 950\nwidth = 400",
                                 "length = 1200", "length = 1800"],
    ("planter", "mill-creek"): ["", "splay = 7", 'length = "18 in"\nwidth = "18 in"', 'length = "4 ft"',
                                'length = "6 ft"\nwidth = "14 in"', 'length = "5 ft"\nsplay = 7'],
    ("planter-bench", "harrow-lane"): ["", "persons = 3\nplanter = 900"],
    ("planter-bench", "mill-creek"): ["", "persons = 3\nplanter = 900"],
    ("curved-screen", "harrow-lane"): [""],
    ("curved-screen", "mill-creek"): [""],
    ("tree-bench", "harrow-lane"): ["", "trunk = 150", "trunk = 1000"],
    ("tree-bench", "mill-creek"): ["", 'trunk = "6 in"', 'trunk = "3 ft"'],
}


STANDING = {"arbor", "arbor-us", "bench", "curved-screen", "deck", "fence", "gate", "log-store", "pergola-fall",
            "pergola-free", "pergola-wall", "planter", "planter-bench", "raised-bed", "seat-arbor", "table-bed", "tree-bench"}


class Stand(ProgramTest):
    def failing(self, job):
        out = run("plan", job, "--json", "-")
        plan = json.loads(out.stdout)
        orders = [d["code"] for d in plan["diagnostics"] if d["code"] in ("no-order", "no-fixing")]
        return [f'{c["title"]}: {c["plain"]}' for c in plan["checks"] if c["verdict"] == "fails"] + orders

    def test_what_stands_loose_is_asked_whether_it_tips_slides_and_sinks(self):
        plan = json.loads(run("plan", ROOT / "examples" / "planter.toml", "--json", "-").stdout)
        kinds = [c["kind"] for c in plan["checks"]]
        self.assertNotIn("unsolved", kinds)
        for kind in ("tips", "slides", "sinks", "bending", "joint"):
            self.assertIn(kind, kinds)
        self.assertIn("door planter: stands to ", plan["stand_lines"][0])

    def test_no_wind_is_told_of_what_could_not_be_checked(self):
        with tempfile.TemporaryDirectory() as folder:
            job, patterns = Path(folder, "job.toml"), Path(folder, "patterns")
            patterns.mkdir()
            # The planter, and nothing said of what it stands on.
            text = (ROOT / "patterns" / "planter.lua").read_text(encoding="utf-8")
            (patterns / "planter.lua").write_text(text.replace("  stand_loose(", "  local _ = type("), encoding="utf-8")
            job.write_text(JOB.format(units="mm", yard="harrow-lane", pattern="planter", choices=""), encoding="utf-8")
            plan = json.loads(run("plan", job, "--json", "-").stdout)
        self.assertEqual(["unsolved"], [c["kind"] for c in plan["checks"]])
        self.assertEqual(([], []), (plan["stands"], plan["stand_lines"]))

    # The years before the plant is grown are reckoned only for these words.
    def test_a_hole_too_weak_for_a_grown_plant_says_since_when(self):
        with tempfile.TemporaryDirectory() as folder:
            job = Path(folder, "job.toml")
            choices = "opening = 1350\nin_ground = 500\nhole_diameter = 300"
            job.write_text(JOB.format(units="mm", yard="harrow-lane", pattern="arbor", choices=choices) +
                           '[site]\nsoil = "firm clay"\nwind_speed = 16\nclimber = "wisteria"\n')
            plan = json.loads(run("plan", job, "--json", "-").stdout)
        holes = [c["plain"] for c in plan["checks"] if c["plain"].startswith("A hole")]
        self.assertTrue(any("too weak overgrown (from year 1 of growth)" in plain for plain in holes), holes)

    def test_examples_that_stand_pass_all_their_checks(self):
        standing = [job for job in EXAMPLES if job.stem in STANDING]
        self.assertEqual(len(STANDING), len(standing))
        for job in standing:
            with self.subTest(job=job.name):
                self.assertEqual([], self.failing(job))

    def test_a_pattern_passes_by_its_defaults_in_both_yards(self):
        with tempfile.TemporaryDirectory() as folder:
            for (pattern, yard), wishes in NEEDED.items():
                units = "mm" if yard == "harrow-lane" else "ft-in"
                for choices in wishes:
                    with self.subTest(pattern=pattern, yard=yard, choices=choices):
                        job = Path(folder) / "job.toml"
                        job.write_text(JOB.format(units=units, yard=yard, pattern=pattern, choices=choices),
                                       encoding="utf-8")
                        self.assertEqual([], self.failing(job))

    def test_a_fence_stands_on_ground_that_falls_and_breaks(self):
        falls = {
            "raked": ["[[0, 0], [9000, -900]]", "[[0, 0], [2500, -250], [4300, -150], [6500, -600], [9000, -500]]"],
            "stepped": ["[[0, 0], [9000, -900]]", "[[0, 0], [2500, -250], [4300, -150], [6500, -600], [9000, -500]]"],
            "levelled top": ["[[0, 0], [9000, -120]]"],
        }
        with tempfile.TemporaryDirectory() as folder:
            job = Path(folder) / "job.toml"
            for yard, units in (("harrow-lane", "mm"), ("mill-creek", "ft-in")):
                for kind in FENCES:
                    for way, grounds in falls.items():
                        if kind in ("panels", "trellis") and way != "stepped":  # bought panels are square
                            continue
                        for levels in grounds:
                            with self.subTest(yard=yard, kind=kind, way=way, levels=levels):
                                text = JOB.format(units=units, yard=yard, pattern="fence",
                                                  choices=f'kind = "{kind}"\nground = "{way}"')
                                ground = f"[ground]\nline = {{ from = [0, 0], to = [9000, 0], levels = {levels} }}\n"
                                job.write_text(text.replace("[timber]", ground + "[timber]"), encoding="utf-8")
                                self.assertEqual([], self.failing(job))

    def test_falling_roofs_stand_at_other_sizes(self):
        sizes = [(2400, 2000), (3000, 2400), (3600, 2600), (4200, 3000), (5400, 3000)]
        with tempfile.TemporaryDirectory() as folder:
            job = Path(folder) / "job.toml"
            for yard, units in (("harrow-lane", "mm"), ("mill-creek", "ft-in")):
                for against in ("nothing", "wall"):
                    for length, depth in sizes[:3] if against == "wall" else sizes:
                        for fall in (3, 6, 10):
                            choices = f'length = {length}\ndepth = {depth}\nfall = {fall}\nagainst = "{against}"'
                            with self.subTest(yard=yard, choices=choices):
                                text = JOB.format(units=units, yard=yard, pattern="pergola", choices=choices)
                                site = '[site]\nwall = "concrete"\nhouse_pitch = 0\n'
                                job.write_text(text.replace("[timber]", site + "[timber]"), encoding="utf-8")
                                self.assertEqual([], self.failing(job))

    def test_level_roofs_stand_at_a_wall_of_concrete(self):
        sizes = {("harrow-lane", "mm"): [("4000", "2400"), ("4800", "2700"), ("6000", "2700"), ("9000", "2400")],
                 ("mill-creek", "ft-in"): [('"12 ft"', '"10 ft"'), ('"24 ft"', '"9 ft"')]}
        with tempfile.TemporaryDirectory() as folder:
            job = Path(folder) / "job.toml"
            for (yard, units), all_sizes in sizes.items():
                for length, depth in all_sizes:
                    with self.subTest(yard=yard, length=length, depth=depth):
                        text = JOB.format(units=units, yard=yard, pattern="pergola",
                                          choices=f'length = {length}\ndepth = {depth}\nagainst = "wall"')
                        site = '[site]\nwall = "concrete"\nhouse_pitch = 0\n'
                        job.write_text(text.replace("[timber]", site + "[timber]"), encoding="utf-8")
                        self.assertEqual([], self.failing(job))

    def test_a_pergola_falls_from_a_wall_out_of_plumb(self):
        wall = 'against = "wall"\nlength = 3600\ndepth = 2700\nheight = 2100\nfall = 8\nwall_out = 20\nrafters = 8'
        job = JOB.format(units="mm", yard="harrow-lane", pattern="pergola", choices=wall)
        site = '[site]\nwall = "concrete"\nhouse_eaves = 3000\nhouse_pitch = 0\n'
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "job.toml"
            path.write_text(job.replace("[timber]", site + "[timber]"), encoding="utf-8")
            self.assertEqual([], self.failing(path))


if __name__ == "__main__":
    unittest.main()
