#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""A purchase from several yards through the program: who sells what, what it costs with delivery and tax, and that the
split is no dearer than either yard alone. Sums are done again here, in plain arithmetic from the catalogue files."""
import csv
import io
import json
import tomllib
import unittest

import jsonschema

from program import ROOT, ProgramTest, arbor_job, run

JOB = ROOT / "examples" / "two-yards" / "arbor.toml"
SCHEMA = json.loads((ROOT / "docs" / "plan.schema.json").read_text(encoding="utf-8"))


def cents(price):
    return round(price * 100)


def with_tax(listed, terms):
    return listed + (listed * round(terms.get("tax", 0) * 100) + 5000) // 10000


class TwoYards(ProgramTest):
    def setUp(self):
        super().setUp()
        self.yards = {}
        for path in (ROOT / "catalogues" / "harrow-lane.toml", ROOT / "examples" / "two-yards" / "lower-mill.toml"):
            self.yards[path.stem] = tomllib.loads(path.read_text(encoding="utf-8"))

    def lines(self, purchase):
        return [line for kind in ("timber", "fixings", "ground", "extras") for line in purchase[kind]]

    def alone(self, catalogue):
        text = JOB.read_text(encoding="utf-8").replace('["harrow-lane", "lower-mill"]', f'"{catalogue}"')
        return self.plan(text)

    def test_each_line_has_its_yards_price_and_the_bills_add_up(self):
        plan = self.plan(JOB)
        jsonschema.Draft202012Validator(SCHEMA).validate(plan)
        purchase = plan["purchase"]
        bills = {bill["name"]: bill for bill in purchase["yards"]}
        self.assertEqual({"harrow-lane", "lower-mill"}, set(bills), "the example should split")
        self.assertEqual(purchase["total_minor"], sum(bill["total_minor"] for bill in bills.values()))
        self.assertEqual(purchase["total_minor"],
                         sum(line["quantity"] * line["unit_price_minor"] for line in self.lines(purchase)))
        for name, bill in bills.items():
            yard, terms = self.yards[name], self.yards[name].get("terms", {})
            goods = tax = 0
            sold = {section["name"]: section for section in yard["section"]}
            for line in purchase["timber"]:
                if line["yard"] != name:
                    continue
                prices = [cents(length["price"]) for length in sold[line["section"]]["lengths"]
                          if float(length["length"].split()[0]) * 1000 == line["length_mm"]
                          and length.get("straight", False) == line.get("straight", False)]
                self.assertEqual([line["unit_price_minor"]], prices)
            for line in self.lines(purchase):
                if line["yard"] != name or line["name" if "name" in line else "section"].endswith(yard["title"]):
                    continue
                goods += line["quantity"] * line["unit_price_minor"]
                tax += line["quantity"] * (with_tax(line["unit_price_minor"], terms) - line["unit_price_minor"])
            self.assertEqual(goods, bill["goods_minor"])
            delivery = cents(terms.get("delivery", 0)) if goods + tax < cents(terms.get("delivery_free_from", 1e9)) else 0
            self.assertEqual(delivery, bill["delivery_minor"])
            self.assertEqual(tax + with_tax(delivery, terms) - delivery, bill["tax_minor"])

    def test_the_split_costs_less_than_one_yard_and_is_proven(self):
        plan = self.plan(JOB)
        proof = plan["purchase"]["proof_of_total"]
        self.assertTrue(proof["optimal"])
        self.assertEqual(plan["purchase"]["total_minor"], proof["cost_minor"])
        self.assertLess(plan["purchase"]["total_minor"], self.alone("harrow-lane")["purchase"]["total_minor"])

    def test_the_lists_name_the_yards(self):
        self.assert_planned(run("plan", JOB, "--out", self.folder / "out"))
        files = self.files(self.folder / "out")
        rows = list(csv.DictReader(io.StringIO(files["shopping.csv"].decode("utf-8"))))
        self.assertEqual({"harrow-lane", "lower-mill"}, {row["yard"] for row in rows})
        self.assertTrue(files["plan.pdf"].startswith(b"%PDF"))

    def test_thrift_knows_what_the_split_costs_now(self):
        plan = self.plan(JOB)
        told = json.loads(self.assert_status(run("thrift", JOB, "rafters", "--json"), 0).stdout)["choices"][0]
        here = next(step for step in told["steps"] if step["from"] <= 5 <= step["to"])
        self.assertLessEqual(here["lower_bound_minor"], plan["purchase"]["total_minor"])
        self.assertGreaterEqual(here["cost_minor"], plan["purchase"]["total_minor"])

    def test_says_what_is_wrong_with_a_list_of_yards(self):
        for catalogue, told in (('["harrow-lane", "mill-creek"]', "takes EUR and Mill Creek Lumber (invented) takes USD; "
                                                                 "name yards of one currency [bad-catalogue]"),
                                ('["harrow-lane", "harrow-lane"]', "catalogue names 'harrow-lane' twice"),
                                ("[]", "catalogue names 0 yards; name 1 to 6 [bad-catalogue]"),
                                ('["harrow-lane", 5]', "catalogue holds something that is no name"),
                                ('["harrow-lane", "harrow-lame"]', "harrow-lame"),
                                ("7", "catalogue")):
            with self.subTest(catalogue=catalogue):
                job = self.folder / "job.toml"
                job.write_text(arbor_job().replace('"harrow-lane"', catalogue), encoding="utf-8")
                self.assertIn(told, self.assert_status(run("check", job), 2).stderr)

    def test_prices_stand_under_their_yard(self):
        (self.folder / "lower-mill.toml").write_bytes((JOB.parent / "lower-mill.toml").read_bytes())
        text = JOB.read_text(encoding="utf-8")
        dear = text + '\n[timber.prices.lower-mill]\n"4x2" = { "2.4 m" = "99", "3.6 m" = "99", "4.2 m" = "99", "4.8 m" = "99" }\n'
        # TOML wants tables before the arrays of tables they do not belong to.
        head, body = dear.split("[[structure]]", 1)
        body, prices = body.split("[timber.prices.lower-mill]")
        plan = self.plan(f"{head}[timber.prices.lower-mill]{prices}\n[[structure]]{body}")
        self.assertFalse([line for line in plan["purchase"]["timber"]
                          if line["section"] == "4x2" and line["yard"] == "lower-mill"])


if __name__ == "__main__":
    unittest.main()
