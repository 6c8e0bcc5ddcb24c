#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Plans every example job and holds the result to laws that need none of the program's own code: the schema by the
independent validator python3-jsonschema, sums of money and length in plain arithmetic, sizes, prices and densities as
the catalogue file has them, volumes in closed form from the machining, PDF by qpdf, glTF by the Khronos validator."""
import csv
import io
import json
import math
import os
import shutil
import subprocess
import sys
import tomllib
import unittest

import jsonschema

from closed_form import volume
from program import EXAMPLES, ROOT, ProgramTest, planned, run

FILES = {"plan.json", "pieces.csv", "shopping.csv", "plan.pdf", "plan.xlsx", "model.step", "model.glb"}
NODE_TOOLS = ROOT / "tests" / "tools"


def length_mm(text):
    """The lengths that the catalogues and examples use, read a second way: "3.6 m", '8 ft', '1/8 in', 1350."""
    if not isinstance(text, str):
        return float(text)
    number, unit = text.rsplit(" ", 1)
    scale = {"mm": 1, "cm": 10, "m": 1000, "in": 25.4, "ft": 304.8}[unit]
    total = 0.0
    for part in number.split():
        over, _, under = part.partition("/")
        total += float(over) / float(under or 1)
    return total * scale


class Examples(ProgramTest):
    def each_plan(self):
        for job in EXAMPLES:
            with self.subTest(job=job.name):
                yield job, self.plan(job)

    def catalogue(self, job):
        name = tomllib.loads(job.read_text(encoding="utf-8"))["timber"]["catalogue"]
        return tomllib.loads((ROOT / "catalogues" / f"{name}.toml").read_text(encoding="utf-8"))

    def saw(self, job):
        saw = tomllib.loads(job.read_text(encoding="utf-8")).get("saw", {})
        return length_mm(saw.get("kerf", 3)), length_mm(saw.get("trim", 10))

    def test_there_are_examples(self):
        self.assertGreaterEqual(len(EXAMPLES), 3)

    def test_every_file_is_written_and_a_second_run_gives_the_same_bytes(self):
        for job in EXAMPLES:
            with self.subTest(job=job.name):
                first, second = planned(job).out, self.folder / f"{job.stem}-2"
                self.assert_planned(run("plan", job.relative_to(ROOT), "--out", second))
                self.assertEqual(FILES, {name for name in self.files(first) if not name.startswith("templates/")})
                for name, data in self.files(first).items():
                    self.assertTrue(data, name)
                    self.assertEqual(data, (second / name).read_bytes(), f"{name} differs between two runs")

    def test_the_plan_keeps_to_its_schema(self):
        schema = json.loads((ROOT / "docs" / "plan.schema.json").read_text(encoding="utf-8"))
        jsonschema.Draft202012Validator.check_schema(schema)
        validator = jsonschema.Draft202012Validator(schema)
        for _, plan in self.each_plan():
            self.assertEqual([], [f"{error.json_path}: {error.message[:200]}" for error in validator.iter_errors(plan)])

    def test_the_schema_would_refuse_a_wrong_plan(self):
        schema = json.loads((ROOT / "docs" / "plan.schema.json").read_text(encoding="utf-8"))
        plan = self.plan(EXAMPLES[0])
        plan["pieces"][0]["length_mm"] = -1
        plan["purchase"]["colour"] = "red"
        self.assertEqual(2, len(list(jsonschema.Draft202012Validator(schema).iter_errors(plan))))

    def test_the_purchase_adds_up(self):
        for _, plan in self.each_plan():
            purchase = plan["purchase"]
            cost = {part: sum(line["quantity"] * line["unit_price_minor"] for line in purchase[part])
                    for part in ("timber", "fixings", "ground", "extras")}
            self.assertEqual(purchase["total_minor"], sum(cost.values()))
            self.assertEqual(purchase["proof"]["cost_minor"], cost["timber"])
            self.assertLessEqual(purchase["proof"]["lower_bound_minor"], cost["timber"])
            self.assertTrue(purchase["proof"]["optimal"])
            self.assertEqual(purchase["proof"]["lower_bound_minor"], cost["timber"])

    def test_timber_is_bought_at_the_catalogues_prices(self):
        for job, plan in self.each_plan():
            yard = self.catalogue(job)
            prices = {(section["name"], round(length_mm(sold["length"]), 3)): round(100 * float(sold["price"]))
                      for section in yard["section"] for sold in section["lengths"]}
            for line in plan["purchase"]["timber"]:
                self.assertEqual(line["unit_price_minor"], prices[line["section"], round(line["length_mm"], 3)])

    def test_every_piece_is_cut_once_from_a_length_it_fits_in(self):
        for job, plan in self.each_plan():
            kerf, trim = self.saw(job)
            lengths = {piece["mark"]: piece["length_mm"] for piece in plan["pieces"]}
            wanted = {piece["mark"]: piece["quantity"] for piece in plan["pieces"]}
            sections = {piece["mark"]: piece["section"] for piece in plan["pieces"]}
            cut, bought = {}, {}
            for layout in plan["purchase"]["cutting"]:
                bought_as = layout["section"], layout["length_mm"]
                bought[bought_as] = bought.get(bought_as, 0) + layout["count"]
                end = None
                for piece in sorted((p for p in layout["pieces"] if p["across_mm"] == 0), key=lambda p: p["at_mm"]):
                    least = trim if end is None else end + kerf
                    self.assertGreaterEqual(piece["at_mm"], least - 2e-3, layout)
                    end = piece["at_mm"] + piece["length_mm"]
                    self.assertAlmostEqual(piece["length_mm"], lengths[piece["mark"]], delta=2e-3)
                    self.assertEqual(layout["section"], sections[piece["mark"]])
                self.assertLessEqual(end, layout["length_mm"] + 2e-3)
                for piece in layout["pieces"]:
                    cut[piece["mark"]] = cut.get(piece["mark"], 0) + layout["count"]
            self.assertEqual(wanted, cut)
            self.assertEqual({(line["section"], line["length_mm"]): line["quantity"]
                              for line in plan["purchase"]["timber"]}, bought)

    def test_volumes_agree_with_closed_forms_and_masses_with_the_catalogue(self):
        for job, plan in self.each_plan():
            yard = self.catalogue(job)
            density = {section["name"]: section.get("density_as_bought", yard["timber"]["density_as_bought"])
                       for section in yard["section"]}
            for piece in plan["pieces"]:
                by_hand = volume(piece)
                self.assertAlmostEqual(by_hand / piece["volume_mm3"], 1, delta=1e-5, msg=piece["mark"])
                mass = piece["volume_mm3"] * 1e-9 * density[piece["section"]]
                self.assertAlmostEqual(mass, piece["mass_kg"], delta=1e-3 + 1e-6 * mass)
            for structure in plan["structures"]:
                mass = sum(piece["quantity"] * piece["mass_kg"] for piece in plan["pieces"]
                           if piece["structure"] == structure["name"])
                self.assertAlmostEqual(mass, structure["timber_kg"], delta=0.05)

    def test_holes_hold_the_concrete_that_is_bought(self):
        for _, plan in self.each_plan():
            pieces = {piece["mark"]: piece for piece in plan["pieces"]}
            bags = {}
            for hole in plan["holes"]:
                post = pieces[hole["post"]]
                depth = hole["depth_mm"] - hole["gravel_mm"]
                full = math.pi / 4 * hole["diameter_mm"] ** 2 * depth
                self.assertAlmostEqual((full - post["width_mm"] * post["thickness_mm"] * depth) / 1e6,
                                       hole["concrete_l"], delta=0.01)
                bags[hole["bag"]] = bags.get(hole["bag"], 0) + hole["bags"]
            self.assertEqual(bool(plan["holes"]), bool(bags))
            for name, least in bags.items():
                lines = [line for line in plan["purchase"]["ground"] if line["name"] == name]
                self.assertGreaterEqual(sum(line["quantity"] for line in lines), 1, name)
                self.assertLessEqual(sum(line["quantity"] for line in lines), least, name)

    def test_the_tables_say_what_the_plan_says(self):
        for job, plan in self.each_plan():
            out = planned(job).out
            text = (out / "pieces.csv").read_bytes().decode("utf-8")
            self.assertEqual(text.count("\n"), text.count("\r\n"), "RFC 4180 ends lines with CRLF")
            rows = list(csv.DictReader(io.StringIO(text, newline="")))
            self.assertEqual([(p["mark"], p["quantity"], p["length_mm"], p["why"]) for p in plan["pieces"]],
                             [(r["mark"], int(r["quantity"]), float(r["length_mm"]), r["why"]) for r in rows])
            shopping = (out / "shopping.csv").read_bytes().decode("utf-8")
            total = sum(round(100 * float(row["amount"])) for row in csv.DictReader(io.StringIO(shopping, newline="")))
            self.assertEqual(plan["purchase"]["total_minor"], total)

    def test_outside_programs_accept_the_files(self):
        self.assertTrue(shutil.which("qpdf"), "qpdf is missing")
        for job in EXAMPLES:
            with self.subTest(job=job.name):
                out = planned(job).out
                checked = subprocess.run(["qpdf", "--check", out / "plan.pdf"], capture_output=True, text=True)
                self.assertEqual(0, checked.returncode, checked.stdout + checked.stderr)
                self.assertTrue((out / "model.step").read_bytes().startswith(b"ISO-10303-21;"))
                checked = subprocess.run(["node", NODE_TOOLS / "validate_gltf.mjs", out / "model.glb"],
                                         capture_output=True, text=True)
                self.assertEqual(0, checked.returncode, checked.stdout + checked.stderr)

    def test_measured_sizes_beat_the_catalogues(self):
        arbor = (ROOT / "examples" / "arbor.toml").read_text(encoding="utf-8")
        before = self.plan(arbor)
        after = self.plan(arbor.replace('"44 x 94"', '"47 x 97"'))
        sizes = {(piece["width_mm"], piece["thickness_mm"]) for piece in after["pieces"] if piece["section"] == "4x2"}
        self.assertEqual({(97.0, 47.0)}, sizes)
        self.assertNotEqual([p["length_mm"] for p in before["pieces"]], [p["length_mm"] for p in after["pieces"]])

    def test_the_picture_in_the_readme_is_what_the_program_draws(self):
        job, picture = ROOT / "examples" / "arbor.toml", ROOT / "docs" / "arbor.svg"
        self.assert_planned(run("plan", job, "--out", self.folder, "--sheets", "cover", "--svg"))
        drawn = (self.folder / "sheet-01.svg").read_text(encoding="utf-8")
        if os.environ.get("GOLDEN_UPDATE"):
            picture.write_text(drawn, encoding="utf-8")
        self.assertTrue(drawn == picture.read_text(encoding="utf-8"),
                        "docs/arbor.svg is another drawing; look at the new one, then run this with GOLDEN_UPDATE=1")


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
