#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The reference data itself: small, whole, each row with its source, each file told of in the README."""
import json
import os
import pathlib
import re
import unittest

ROOT = pathlib.Path(os.environ.get("GARTHWRIGHT_SOURCE_DIR", pathlib.Path(__file__).resolve().parent.parent))
REFERENCE = ROOT / "tests" / "reference"
FILES = sorted(path for path in REFERENCE.rglob("*") if path.is_file())
STATUSES = {"read", "computed", "recalled", "proposal"}
WORTHS = {"published", "textbook", "common practice", "from memory", "proposal"}
TEXTS = ("id", "topic", "formula", "source", "status")


def unique(test, names):
    test.assertEqual([], sorted({name for name in names if names.count(name) > 1}))


class ReferenceTest(unittest.TestCase):
    def test_it_stays_small(self):
        sizes = {path.name: path.stat().st_size for path in FILES}
        self.assertLess(sum(sizes.values()), 1_200_000)
        self.assertEqual({}, {name: size for name, size in sizes.items() if size > 400_000})

    def test_the_readme_tells_of_every_file(self):
        readme = (REFERENCE / "README.md").read_text(encoding="utf-8")
        told = set(re.findall(r"`(\w+)(?:\.json)?`", readme))
        self.assertEqual([], [path.name for path in FILES if path.name != "README.md" and path.stem not in told])

    def test_every_value_has_a_source_and_says_how_it_is_known(self):
        ids = []
        for path in sorted((REFERENCE / "values").iterdir()):
            for row in json.loads(path.read_text(encoding="utf-8")):
                with self.subTest(file=path.name, id=row["id"]):
                    self.assertEqual([], [key for key in TEXTS if not row[key].strip()])
                    self.assertIn(row["status"], STATUSES)
                    self.assertIn(row.get("worth", "published"), WORTHS)
                    self.assertTrue(0 <= row["tolerance_rel"] <= 0.5, row["tolerance_rel"])
                    self.assertTrue(row["expected"])
                ids.append(row["id"])
        unique(self, ids)

    def test_academic_instances_name_an_optimum(self):
        names = []
        for path in sorted((REFERENCE / "cutting").iterdir()):
            for line in path.read_text(encoding="utf-8").splitlines():
                one = json.loads(line)
                total = sum(length * count for length, count in one["items"])
                # No fewer lengths than the material fills; no more than one a piece.
                self.assertLessEqual(total, one["optimum"] * one["capacity"], one["name"])
                self.assertLessEqual(one["optimum"], sum(count for _, count in one["items"]), one["name"])
                names.append(one["name"])
        unique(self, names)

    def test_cases_have_an_answer_for_what_they_ask(self):
        cases = json.loads((REFERENCE / "assembly" / "cases.json").read_text(encoding="utf-8"))["cases"]
        for case in cases:
            self.assertTrue(case["ask"] and case["expect"] and case["title"] and case["why"], case["id"])
        unique(self, [case["id"] for case in cases])


if __name__ == "__main__":
    unittest.main()
