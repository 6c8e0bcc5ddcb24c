#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Every job in golden/errors is wrong in its own way. What the program says of it, word for word, stands beside it: the exit
status on the first line, then standard error. GOLDEN_UPDATE=1 writes what it says now; read the difference before you
keep it."""
import os
import sys
import unittest

from program import ROOT, ProgramTest, run

GOLDEN = ROOT / "tests" / "golden" / "errors"
ONLY_PARTS = {"half-a-yard.toml"}  # catalogues that a job beside them names


class Errors(ProgramTest):
    def test_each_wrong_job_is_told_what_is_wrong_and_what_would_be_right(self):
        jobs = [path for path in sorted(GOLDEN.glob("*.toml")) if path.name not in ONLY_PARTS]
        self.assertGreater(len(jobs), 15)
        for job in jobs:
            with self.subTest(job=job.stem):
                out = self.folder / job.stem
                process = run("plan", job.name, "--out", out, cwd=GOLDEN)
                said = f"exit status {process.returncode}\n{process.stderr}".replace(f"{ROOT}/", "")
                if os.environ.get("GOLDEN_UPDATE"):
                    job.with_suffix(".txt").write_text(said, encoding="utf-8")
                self.assertEqual(job.with_suffix(".txt").read_text(encoding="utf-8"), said)
                self.assertEqual(2, process.returncode)
                self.assertEqual("", process.stdout)
                self.assertFalse(out.exists(), "something was written")


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
