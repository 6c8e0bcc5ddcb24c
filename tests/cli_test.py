#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The command line as a person meets it: help, exit statuses, where files go, and what happens when the disk is full."""
import json
import os
import re
import subprocess
import sys
import unittest
from pathlib import Path

from program import PROGRAM, ROOT, ProgramTest, arbor_job, run

COMMANDS = ("new", "check", "plan", "why", "patterns", "buy", "forces", "frame", "order", "serve")


class Help(ProgramTest):
    def test_help_names_every_command_and_every_exit_status(self):
        text = self.assert_status(run("--help"), 0).stdout
        for word in COMMANDS + ("0 done", "1 done, but some check fails", "2 the input is wrong", "3 the machine failed"):
            self.assertIn(word, text)

    def test_each_command_explains_itself(self):
        for command in COMMANDS:
            text = self.assert_status(run(command, "--help"), 0).stdout
            self.assertIn("Usage: garthwright " + command, text)
            self.assertGreater(len(text.splitlines()), 6, text)

    def test_version(self):
        self.assertRegex(self.assert_status(run("--version"), 0).stdout, r"^garthwright \d+\.\d+\.\d+\n$")

    def test_wrong_words_are_answered_with_the_near_right_ones(self):
        for words, answer in [
            ((), "a command is missing"),
            (("plna", "x.toml"), "there is no command 'plna'; did you mean plan?"),
            (("plan", "x.toml", "--ot", "y"), "there is no option '--ot'; did you mean --out?"),
            (("plan",), "JOB is required"),
        ]:
            process = self.assert_status(run(*words), 2)
            self.assertIn(answer, process.stderr)
            self.assertEqual("", process.stdout)


class Jobs(ProgramTest):
    def test_a_new_job_can_be_checked_as_it_is_once_its_sizes_are_given(self):
        for pattern, given in (("arbor", {"opening": "1300"}), ("pergola", {"length": "4000", "depth": "2500"})):
            for extra in ((), ("--ft-in",)):
                with self.subTest(pattern=pattern, extra=extra):
                    job = self.folder / f"{pattern}{len(extra)}.toml"
                    self.assert_status(run("new", pattern, "--save", job, *extra), 0)
                    text = job.read_text(encoding="utf-8")
                    for name, value in given.items():
                        self.assertIn(f"\n{name} = ''", text)
                        text = text.replace(f"\n{name} = ''", f"\n{name} = {value}")
                    job.write_text(text, encoding="utf-8")
                    self.assert_planned(run("check", job))

    def test_every_default_that_new_shows_may_be_given_as_it_stands(self):
        for extra in ((), ("--ft-in",)):
            text = self.assert_status(run("new", "arbor", *extra), 0).stdout.replace("opening = ''", "opening = 1300")
            head, choices = text.split("[structure.choices]\n")
            shown = re.findall(r"^# (\w+ = \S.*)$", choices, re.MULTILINE)
            shown = [line for line in shown if "worked out" not in line]
            self.assertGreater(len(shown), 12)
            job = self.folder / "all.toml"
            job.write_text(f"{head}[structure.choices]\nopening = 1300\n" + "\n".join(shown) + "\n", encoding="utf-8")
            self.assert_planned(run("check", job))

    def test_new_never_writes_over_a_file(self):
        job = self.folder / "mine.toml"
        job.write_text("my work", encoding="utf-8")
        self.assertIn("the file is there already", self.assert_status(run("new", "arbor", "--save", job), 2).stderr)
        self.assertEqual("my work", job.read_text(encoding="utf-8"))

    def test_a_job_may_come_from_standard_input(self):
        process = self.assert_planned(run("plan", "-", "--json", "-", text=arbor_job()))
        self.assertEqual("Test arbor", json.loads(process.stdout)["title"])

    def test_files_go_to_out_and_the_jobs_name_when_no_folder_is_named(self):
        (self.folder / "garden.toml").write_text(arbor_job(), encoding="utf-8")
        self.assert_planned(run("plan", "garden.toml", cwd=self.folder))
        self.assertTrue((self.folder / "out" / "garden" / "plan.json").is_file())

    def test_json_to_a_file_writes_that_file_alone(self):
        job = self.folder / "garden.toml"
        job.write_text(arbor_job(), encoding="utf-8")
        self.assert_planned(run("plan", job, "--json", self.folder / "deep" / "p.json"))
        self.assertEqual(["p.json"], [path.name for path in (self.folder / "deep").iterdir()])
        self.assertFalse((self.folder / "out").exists())

    def test_why_tells_the_sum_of_every_mark(self):
        job = self.folder / "garden.toml"
        job.write_text(arbor_job(), encoding="utf-8")
        for piece in self.plan(job)["pieces"]:
            text = self.assert_status(run("why", job, piece["mark"]), 0).stdout
            self.assertTrue(text.startswith(f"{piece['mark']} ({piece['name']}) is "), text)
            self.assertIn(piece["why"], text)
        self.assertIn("Z9", self.assert_status(run("why", job, "Z9"), 2).stderr)

    def test_patterns_beside_the_job_come_first(self):
        (self.folder / "patterns").mkdir()
        (self.folder / "patterns" / "arbor.lua").write_text("error('mine')", encoding="utf-8")
        job = self.folder / "garden.toml"
        job.write_text(arbor_job(), encoding="utf-8")
        self.assertIn("mine", self.assert_status(run("check", job), 2).stderr)

    def test_the_share_folder_may_be_named(self):
        process = run("patterns", cwd=self.folder, GARTHWRIGHT_SHARE=str(self.folder))
        self.assertEqual("", self.assert_status(process, 0).stdout)
        listed = self.assert_status(run("patterns"), 0).stdout
        self.assertIn("arbor", listed)
        self.assertIn("pergola", listed)
        self.assertIn("opening", self.assert_status(run("patterns", "arbor"), 0).stdout)
        self.assertIn("did you mean arbor", self.assert_status(run("patterns", "arbour"), 2).stderr)

    def test_an_installed_program_finds_its_share_folder_beside_itself(self):
        build = Path(PROGRAM).parent
        prefix = self.folder / "usr"
        done = subprocess.run(["cmake", "--install", build, "--prefix", prefix], capture_output=True, text=True)
        self.assertEqual(0, done.returncode, done.stderr)
        listed = subprocess.run([prefix / "bin" / "garthwright", "patterns"], capture_output=True, text=True,
                                cwd=self.folder, env={**os.environ, "GARTHWRIGHT_SHARE": ""})
        self.assertEqual(0, listed.returncode, listed.stderr)
        self.assertTrue((prefix / "share" / "garthwright" / "patterns" / "arbor.lua").is_file())
        self.assertIn("arbor", listed.stdout)


class Failures(ProgramTest):
    def test_what_cannot_be_read_is_wrong_input(self):
        for path, reason in ((self.folder / "none.toml", "No such file or directory"), (self.folder, "Is a directory")):
            for command in ("check", "plan", "buy", "frame", "order"):
                self.assertIn(f"{path}: error: cannot read: {reason}", self.assert_status(run(command, path), 2).stderr)

    def test_a_full_disk_leaves_the_old_plan_whole(self):
        job, out = self.folder / "garden.toml", self.folder / "out"
        job.write_text(arbor_job(), encoding="utf-8")
        self.assert_planned(run("plan", job, "--out", out))
        before = self.files(out)
        job.write_text(arbor_job("opening = 1500\n"), encoding="utf-8")
        for limit in (0, 1000, len(before["plan.json"]) - 2000, max(map(len, before.values())) - 5000):
            process = self.assert_status(run("plan", job, "--out", out, file_limit=limit), 3)
            self.assertIn("cannot write: File too large; make room and run again [cannot-write]", process.stderr)
            self.assertEqual(before, self.files(out))
        self.assert_planned(run("plan", job, "--out", out))
        self.assertNotEqual(before["plan.json"], (out / "plan.json").read_bytes())

    def test_a_full_standard_output_is_told(self):
        with open("/dev/full", "wb") as full:
            done = subprocess.run([PROGRAM, "plan", ROOT / "examples" / "arbor.toml", "--json", "-"], stdout=full,
                                  stderr=subprocess.PIPE, text=True)
        self.assertEqual(3, done.returncode)
        self.assertIn("No space left on device", done.stderr)

    def test_a_folder_that_cannot_be_made_is_told(self):
        (self.folder / "file").write_text("in the way", encoding="utf-8")
        process = self.assert_status(run("plan", ROOT / "examples" / "arbor.toml", "--out", self.folder / "file" / "out"), 3)
        self.assertIn("cannot write: Not a directory", process.stderr)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
