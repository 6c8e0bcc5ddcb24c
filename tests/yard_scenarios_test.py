#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Six gardens of tests/reference/yard_scenarios.json, each planned by its job in tests/yard_jobs, come out as they were
computed. What a plan does not hold (angles, stresses) is checked where the patterns are, in C++."""
import json
import re
import unittest

from program import ROOT, ProgramTest, run

GARDENS = {g["id"]: g["expected"] for g in
           json.loads((ROOT / "tests" / "reference" / "yard_scenarios.json").read_text(encoding="utf-8"))}


class Plan:
    def __init__(self, garden):
        out = run("plan", ROOT / "tests" / "yard_jobs" / f"{garden}.toml", "--json", "-")
        self.json = json.loads(out.stdout)

    def pieces(self, name, structure=None):
        return [p for p in self.json["pieces"] if p["name"] == name and structure in (None, p["structure"])]

    def count(self, name, structure=None):
        return sum(p["quantity"] for p in self.pieces(name, structure))

    def length(self, name, structure=None):
        return max(p["length_mm"] for p in self.pieces(name, structure))

    def told(self, pattern):
        """All figures that its remarks tell so."""
        words = " ".join(d["what"] + " " + d["cure"] for d in self.json["diagnostics"])
        return [float(x) for x in re.findall(pattern, words)]


class YardScenarios(ProgramTest):
    def near(self, want, got, tolerance=0.05):
        self.assertLessEqual(abs(want - got), tolerance, f"{got} instead of {want}")

    def test_close_board_on_the_level(self):
        p, want = Plan("G01"), GARDENS["G01"]
        for name, key in (("post", "posts"), ("rail", "rails"), ("gravel board", "gravel_boards"), ("board", "boards")):
            self.assertEqual(want[key], p.count(name))
            self.near(want[{"post": "post_length", "rail": "rail_length", "gravel board": "gravel_board_length",
                            "board": "board_length"}[name]], p.length(name))
        self.near(1, sum(h["concrete_l"] for h in p.json["holes"]) / 1000 / want["concrete_m3"], 0.005)

    def test_pickets_up_a_slope(self):
        p, want = Plan("G03"), GARDENS["G03"]
        self.assertEqual((want["posts"], want["rails"], want["pales"]),
                         (p.count("post"), p.count("rail"), p.count("pale")))
        self.near(want["post_length"], p.length("post"))
        self.near(want["rail_length"] + 70 / 8, p.length("rail"))  # from long point to long point
        self.near(want["pale_blank"], p.length("pale"))
        grounds = [h["ground_mm"] for h in p.json["holes"]]
        self.near(want["total_rise"], max(grounds) - min(grounds))

    def test_screen_on_a_quarter_circle(self):
        p, want = Plan("G05"), GARDENS["G05"]
        self.assertEqual((want["posts"], want["rails"], want["laths"]),
                         (p.count("post"), p.count("rail"), p.count("lath")))
        holes = sorted((h["x_mm"], h["y_mm"]) for h in p.json["holes"])
        # Measured from the first post along the string between the first and the last.
        (x0, y0), (x1, y1) = holes[0], holes[-1]
        long = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
        self.near(want["overall_chord"], long)
        for (x, y), along, off in zip(holes, want["post_along_chord"], want["post_offset"]):
            self.near(along, ((x - x0) * (x1 - x0) + (y - y0) * (y1 - y0)) / long)
            self.near(off, abs((x - x0) * (y1 - y0) - (y - y0) * (x1 - x0)) / long)

    def test_side_gate(self):
        p, want = Plan("G06"), GARDENS["G06"]
        self.assertEqual(want["boards"], p.count("board"))
        self.near(want["ledge_length"], p.length("ledge"))
        self.near(want["edge_board_width"], min(b["width_mm"] for b in p.pieces("board")))
        self.near(want["mass_kg"], p.told(r"about ([\d.]+) kg")[0], 0.05)
        self.near(want["hinge_pull_N"], p.told(r"(\d+) N pull")[0], 0.5)
        self.near(want["brace_force_N"], p.told(r"carries (\d+) N")[0], 0.5)
        self.assertTrue(p.told(r"would stand at (34) degrees: shortened to 45"))

    def test_three_beds(self):
        p, want = Plan("G08"), GARDENS["G08"]
        for bed, long, short in (("A", "long", "short"), ("C", "front", "end")):
            self.assertEqual(want[f"{bed}_{long}_boards"], p.count("long board", bed))
            self.near(want[f"{bed}_{long}_length"], p.length("long board", bed))
            self.assertEqual(want[f"{bed}_{short}_boards"], p.count("end board", bed))
            self.near(want[f"{bed}_{short}_length"], p.length("end board", bed))
        self.near(want["A_tie_length"], p.length("tie", "A"))
        volumes = p.told(r"takes ([\d.]+) m³")
        bags = p.told(r"(\d+) bags of 60 l")
        for bed, volume, bag in zip("ABC", volumes, bags, strict=True):
            self.near(want[f"{bed}_volume_m3"], volume, 0.0006)
            self.assertEqual(want[f"{bed}_bags"], bag)

    def test_seat_for_two(self):
        p, want = Plan("G10"), GARDENS["G10"]
        self.assertEqual((want["seat_slats"], want["back_slats"]), (p.count("seat slat"), p.count("back slat")))
        self.near(want["slat_length"], p.length("seat slat"))
        holes = [h for h in p.json["holes"] if h["post"].startswith("A")] or p.json["holes"]
        for key, axis in (("overall_width", "x_mm"), ("overall_depth", "y_mm")):
            at = [h[axis] for h in holes]
            self.near(want[key], max(at) - min(at) + 95)


if __name__ == "__main__":
    unittest.main()
