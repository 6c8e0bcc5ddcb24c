#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""What needs no solids and no sheets does not wait for their libraries, and what needs them gets them."""
import json
import os
import subprocess
import unittest

from program import PROGRAM, ProgramTest, arbor_job

HEAVY = ("libTK", "libcairo", "libgarthwright_heavy")


def loaded(*words, text=None):
    """The shared libraries that a run loads, by the dynamic linker's own account."""
    said = subprocess.run([PROGRAM, *map(str, words)], input=text, capture_output=True, encoding="utf-8",
                          env={**os.environ, "LD_DEBUG": "files"}).stderr
    return {line.rsplit("calling init: ", 1)[1].strip() for line in said.splitlines() if "calling init: " in line}


class Startup(ProgramTest):
    def setUp(self):
        super().setUp()
        self.job = self.folder / "job.toml"
        self.job.write_text(arbor_job(), encoding="utf-8")
        self.list = self.folder / "list.json"
        self.list.write_text(json.dumps({"stock": [{"length_mm": 4800, "price_minor": 1290}],
                                         "pieces": [{"length_mm": 1150, "quantity": 7}]}), encoding="utf-8")

    def test_quick_answers_load_no_heavy_library(self):
        for words in (("--version",), ("buy", self.list), ("check", self.job), ("check", "--quick", self.job), ("patterns",),
                      ("licences",), ("help", "--as", "man")):
            with self.subTest(words=words):
                libraries = loaded(*words)
                self.assertTrue(any("libstdc++" in one for one in libraries), libraries)
                self.assertEqual([], [one for one in libraries if any(name in one for name in HEAVY)])
                self.assertLess(len(libraries), 20)

    def test_a_plan_loads_them(self):
        libraries = loaded("plan", self.job, "--out", self.folder / "out")
        self.assertTrue(any("libTKernel" in one for one in libraries))
        self.assertGreater((self.folder / "out" / "model.step").stat().st_size, 10_000)
        self.assertEqual(b"%PDF", (self.folder / "out" / "plan.pdf").read_bytes()[:4])


if __name__ == "__main__":
    unittest.main()
