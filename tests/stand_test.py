#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Holds that a new user reaches a structure that stands: every example and every pattern's own defaults, in both yards,
pass all their checks and can be built in some order."""
import json
import tempfile
import unittest
from pathlib import Path

from program import EXAMPLES, ProgramTest, run

JOB = """format = 1
[timber]
catalogue = "{yard}"
[[structure]]
pattern = "{pattern}"
[structure.choices]
{choices}
"""
NEEDED = {  # what has no default, and sizes round about what is usual
    "arbor": ['opening = "{} m"'.format(m) for m in ("0.9", "1.35", "1.8")],
    "pergola": ["length = 3600\ndepth = 2700", "length = 3000\ndepth = 3000"],
}


class Stand(ProgramTest):
    def failing(self, job):
        out = run("plan", job, "--json", "-")
        plan = json.loads(out.stdout)
        orders = [d["code"] for d in plan["diagnostics"] if d["code"] in ("no-order", "no-fixing")]
        return [f'{c["title"]}: {c["plain"]}' for c in plan["checks"] if c["verdict"] == "fails"] + orders

    def test_every_example_passes_all_its_checks(self):
        for job in EXAMPLES:
            with self.subTest(job=job.name):
                self.assertEqual([], self.failing(job))

    def test_a_pattern_passes_by_its_defaults_in_both_yards(self):
        with tempfile.TemporaryDirectory() as folder:
            for pattern, wishes in NEEDED.items():
                for yard in ("harrow-lane", "mill-creek"):
                    for choices in wishes:
                        with self.subTest(pattern=pattern, yard=yard, choices=choices):
                            job = Path(folder) / "job.toml"
                            job.write_text(JOB.format(yard=yard, pattern=pattern, choices=choices), encoding="utf-8")
                            self.assertEqual([], self.failing(job))


if __name__ == "__main__":
    unittest.main()
