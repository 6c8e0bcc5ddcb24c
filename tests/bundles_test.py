#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""A yard that sells purlins in bundles, through the program: what is bought, what it costs, and what is left whole."""
import csv
import io
import json
import unittest

import jsonschema

from program import ROOT, ProgramTest, run

JOB = (ROOT / "examples" / "pergola-wall.toml").read_text(encoding="utf-8").replace(
    "purlins = 4", 'purlins = 7\npurlin = "2x2"\nside_overhang = 300')
YARD = (ROOT / "catalogues" / "harrow-lane.toml").read_text(encoding="utf-8")
SCHEMA = json.loads((ROOT / "docs" / "plan.schema.json").read_text(encoding="utf-8"))
SINGLE = '{ length = "3 m", price = 5.25 }'


class Bundles(ProgramTest):
    def job(self, sold):
        """The terrace pergola with more and thinner purlins: 14 lengths, each of a 2x2 of 3 m, with that length sold so."""
        self.assertEqual(1, YARD.count(SINGLE))
        (self.folder / "bundled.toml").write_text(YARD.replace(SINGLE, sold), encoding="utf-8")
        return JOB.replace('"harrow-lane"', '"bundled"')

    def purlins(self, plan):
        return [line for line in plan["purchase"]["timber"] if line["section"] == "2x2"]

    def test_a_bundle_is_taken_where_it_costs_less(self):
        plain = self.plan(self.job(SINGLE))
        self.assertEqual([{"section": "2x2", "length_mm": 3000, "quantity": 14, "unit_price_minor": 525}],
                         self.purlins(plain))
        plan = self.plan(self.job('{ length = "3 m", price = 5.25, bundles = [{ count = 6, price = 26.80 }] }'),
                         "--out", self.folder / "out")
        jsonschema.Draft202012Validator(SCHEMA).validate(plan)
        self.assertEqual([{"section": "2x2", "length_mm": 3000, "quantity": 2, "unit_price_minor": 2680, "bundle": 6},
                          {"section": "2x2", "length_mm": 3000, "quantity": 2, "unit_price_minor": 525}],
                         self.purlins(plan))
        saved = 14 * 525 - (2 * 2680 + 2 * 525)
        self.assertEqual(plain["purchase"]["total_minor"] - saved, plan["purchase"]["total_minor"])
        self.assertTrue(plan["purchase"]["proof"]["optimal"])
        self.assertEqual(plain["purchase"]["cutting"], plan["purchase"]["cutting"])

    def test_what_of_a_bundle_is_not_cut_goes_to_the_shed(self):
        job = self.folder / "job.toml"
        # Three bundles are 18 lengths; two and two singles of 3.6 m would be 0.70 dearer.
        job.write_text(self.job('{ length = "3 m", bundles = [{ count = 6, price = 12.00 }] }'), encoding="utf-8")
        out, shed = self.folder / "out", self.folder / "shed.db"
        self.assert_planned(run("plan", job, "--out", out))
        plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
        self.assertEqual([3], [line["quantity"] for line in self.purlins(plan)])
        self.assertIn({"section": "2x2", "length_mm": 2990, "quantity": 4}, plan["purchase"]["left_over"]["off_cuts"])
        rows = list(csv.DictReader(io.StringIO((out / "shopping.csv").read_text(encoding="utf-8"))))
        self.assertIn(("2x2", "3", "bundle of 6 lengths", "36.00"),
                      [(row["name"], row["quantity"], row["unit"], row["amount"]) for row in rows])
        self.assert_status(run("shed", "restock", out / "plan.json", "--shed", shed), 0)
        self.assertIn("2990", self.assert_status(run("shed", "list", "--shed", shed), 0).stdout)


if __name__ == "__main__":
    unittest.main()
