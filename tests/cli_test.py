#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The command line as a person meets it: help, exit statuses, where files go, and what happens when the disk is full."""
import json
import os
import re
import shutil
import subprocess
import sys
import unittest
from pathlib import Path

from program import PROGRAM, ROOT, ProgramTest, arbor_job, run
from served import validator

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
        self.assertRegex(self.assert_status(run("--version"), 0).stdout, r"^garthwright \d+\.\d+\.\d+(\+g[0-9a-f]+)?\n$")
        for words in (("-V",), ("version",)):
            self.assertEqual(run("--version").stdout, self.assert_status(run(*words), 0).stdout)

    def test_help_by_name(self):
        self.assertEqual(run("--help").stdout, self.assert_status(run("help"), 0).stdout)
        self.assertEqual(run("plan", "--help").stdout, self.assert_status(run("help", "plan"), 0).stdout)
        self.assertIn("there is no command 'plna'; did you mean plan?", self.assert_status(run("help", "plna"), 2).stderr)

    def test_the_manual_page_is_well_made_and_tells_all(self):
        page = self.assert_status(run("help", "--as", "man"), 0).stdout
        path = self.folder / "garthwright.1"
        path.write_text(page, encoding="utf-8")
        lint = subprocess.run(["mandoc", "-T", "lint", "-W", "warning", path], capture_output=True, text=True)
        self.assertEqual((0, ""), (lint.returncode, lint.stdout))
        shown = subprocess.run(["mandoc", "-T", "utf8", path], capture_output=True, encoding="utf-8", check=True).stdout
        shown = re.sub(".\b", "", shown)
        for command in COMMANDS:
            self.assertRegex(shown, rf"(?m)^ +{command}( |$)")
        for words in ("--both-units", "--limit-s SECONDS", "--errors FORM", "GARTHWRIGHT_SHARE", "XDG_DATA_HOME",
                      "Exit status: 0 done; 1 done, but some check fails"):
            self.assertIn(words, shown)

    def test_shells_complete_commands_options_and_files(self):
        scripts = {shell: self.folder / f"completion.{shell}" for shell in ("bash", "zsh", "fish")}
        for shell, path in scripts.items():
            path.write_text(self.assert_status(run("help", "--as", shell), 0).stdout, encoding="utf-8")
            checked = subprocess.run([shell, "-n", path], capture_output=True, text=True)
            self.assertEqual((0, ""), (checked.returncode, checked.stderr))
        (self.folder / "garden.toml").touch()

        def bash(*words):
            line = " ".join(f"'{word}'" for word in words)
            script = (f"source {scripts['bash']}; compopt() {{ :; }}; COMP_WORDS=(garthwright {line}); COMP_CWORD={len(words)}; "
                      '_garthwright; printf "%s\\n" "${COMPREPLY[@]}"')
            return subprocess.run(["bash", "-c", script], capture_output=True, text=True, cwd=self.folder).stdout.split()

        self.assertEqual(["plan"], bash("pl"))
        self.assertEqual(["--shed", "--sheets"], sorted(bash("plan", "--she")))
        self.assertEqual(["--errors"], bash("plan", "--err"))
        self.assertEqual(["garden.toml"], bash("plan", "gar"))
        self.assertIn("thrift", bash("help", "th"))
        told = subprocess.run(["fish", "--no-config", "-c", f"source {scripts['fish']}; complete -C 'garthwright plan --she'"],
                              capture_output=True, text=True, cwd=self.folder, env={**os.environ, "HOME": str(self.folder)})
        self.assertEqual(["--shed", "--sheets"], sorted(line.split("\t")[0] for line in told.stdout.splitlines()), told.stderr)

    def test_doctor_says_what_is_found_where(self):
        said = self.assert_status(run("doctor", XDG_DATA_HOME=str(self.folder)), 0).stdout
        self.assertRegex(said, r"(?m)^share folder +/.* \(the program runs where it was built\)$")
        self.assertRegex(said, r"(?m)^  patterns +.*/patterns: arbor, ")
        self.assertRegex(said, rf"(?m)^own folder +{self.folder}/garthwright$")
        self.assertIn("All that planning needs is there.", said)
        said = self.assert_status(run("doctor", GARTHWRIGHT_SHARE=str(self.folder)), 3).stdout
        self.assertIn("Something that planning needs is missing.", said)

    def test_a_program_without_its_folder_never_takes_the_sources(self):
        moved = self.folder / "bin" / "garthwright"
        moved.parent.mkdir()
        shutil.copy(PROGRAM, moved)
        job = self.folder / "garden.toml"
        job.write_text(arbor_job(), encoding="utf-8")
        process = subprocess.run([moved, "check", job], capture_output=True, encoding="utf-8")
        self.assertEqual(2, process.returncode)
        self.assertIn("the patterns and catalogues that come with the program are not beside it", process.stderr)
        self.assertEqual(3, subprocess.run([moved, "doctor"], capture_output=True).returncode)

    def test_quiet_says_errors_alone(self):
        job = self.folder / "garden.toml"
        job.write_text(arbor_job(), encoding="utf-8")
        loud, quiet = run("check", job), run("--quiet", "check", job)
        self.assertNotEqual("", loud.stdout)
        self.assertEqual((loud.returncode, "", ""), (quiet.returncode, quiet.stdout, quiet.stderr))
        job.write_text(arbor_job("opening = 90\n"), encoding="utf-8")
        self.assertIn("opening is 90", self.assert_status(run("check", job, "--quiet"), 2).stderr)

    def test_errors_as_json_are_the_servers(self):
        job = self.folder / "garden.toml"
        job.write_text(arbor_job("opening = 90\n"), encoding="utf-8")
        plain = self.assert_status(run("check", job), 2)
        process = self.assert_status(run("check", job, "--errors", "json"), 2)
        problem = json.loads(process.stderr)
        self.assertEqual([], list(validator({"$ref": "#/components/schemas/Problem"}).iter_errors(problem)))
        one = problem["diagnostics"][0]
        self.assertIn(f"{one['where']['file']}:{one['where']['line']}:{one['where']['column']}: error: {one['what']}", plain.stderr)
        # Words that are not understood, too, and nothing where nothing is wrong.
        self.assertEqual("bad-words", json.loads(run("--errors=json", "plna").stderr)["diagnostics"][0]["code"])
        self.assertEqual("", run("version", "--errors", "json").stderr)
        self.assertIn("did you mean json?", run("version", "--errors", "jason").stderr)

    def test_a_person_at_a_terminal_is_told_that_work_goes_on_and_nobody_else(self):
        job = self.folder / "wide.toml"
        job.write_text('format = 1\ntitle = "W"\n[timber]\ncatalogue = "harrow-lane"\n[[structure]]\npattern = "pergola"\n'
                       '[structure.choices]\nlength = 8000\ndepth = 4800\nrafters = 60\npurlins = 60\n', encoding="utf-8")
        words = [PROGRAM, "check", str(job), "--limit-s", "2.5"]
        terminal, other = os.openpty()
        process = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=other)
        os.close(other)
        said = b""
        try:
            while part := os.read(terminal, 4096):
                said += part
        except OSError:
            pass  # the last one has closed it
        process.wait()
        os.close(terminal)
        self.assertRegex(said, rb"^(.*\n)*\rchecking: 1 s (\rchecking: \d+ s )+\r\x1b\[K")
        self.assertNotIn("checking:", subprocess.run(words, capture_output=True, text=True).stderr)

    def test_patterns_of_a_persons_own_are_found(self):
        own = self.folder / "garthwright" / "patterns"
        own.mkdir(parents=True)
        (own / "perch.lua").write_text(
            "return { name = 'perch', title = 'Perch', choices = {}, build = function(c)\n"
            "place { name = 'perch', section = '2x2', runs = 'right', wide = 'back', length = 900 } end }", encoding="utf-8")
        self.assertIn("perch", run("patterns", XDG_DATA_HOME=str(self.folder)).stdout)
        self.assertNotIn("perch", run("patterns").stdout)

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


    def test_an_empty_word_is_never_taken_for_one_that_was_left_out(self):
        """A script whose variable was never set must not plan with the usual shed, or write into the usual folder."""
        looked_at = 0
        for command in re.findall(r"^  ([a-z]+) ", run("--help").stdout.split("Subcommands:\n")[1].split("\n\n")[0], re.M):
            for option, takes in re.findall(r"^  (--[a-z-]+) ([A-Z]+)\b", run(command, "--help").stdout, re.M):
                for words, said in (((option, ""), f"{option} is empty; give {takes}, or leave|{option} is ''; (give a|known are)"),
                                    ((option + "=",), f"{option}: 1 required {takes} missing")):
                    with self.subTest(words=(command, *words)):
                        process = self.assert_status(run(command, "examples/arbor.toml", *words, XDG_DATA_HOME=str(self.folder)), 2)
                        self.assertEqual("", process.stdout)
                        self.assertRegex(process.stderr, said)
                looked_at += 1
        self.assertGreater(looked_at, 25)
        self.assertEqual([], os.listdir(self.folder))


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

    def test_each_group_of_choices_stands_once(self):
        for pattern in ("arbor", "pergola"):
            lines = self.assert_status(run("patterns", pattern), 0).stdout.splitlines()
            groups = [after for before, after in zip(lines, lines[1:]) if before == ""]
            self.assertEqual(sorted(set(groups)), sorted(groups), pattern)
            for line in lines:
                if "(section;" in line:
                    self.assertNotIn("must be given", line)
            comments = re.findall(r"(?m)^# -- (.*)$", self.assert_status(run("new", pattern), 0).stdout)
            self.assertEqual(sorted(set(comments)), sorted(comments), pattern)

    def test_a_new_job_tells_of_the_site_and_the_ground_and_its_samples_are_taken(self):
        for words in ((), ("--ft-in",)):
            text = self.assert_status(run("new", "arbor", *words), 0).stdout
            for sample in ("# [site]", "# [ground]", "# [timber.measured]"):
                self.assertIn(sample, text)
            # With every sample of these three taken as it stands the job is still one.
            head, choices = text.split("[[structure]]")
            head = re.sub(r"(?m)^# (\[[a-z.]+\]|\w+ = |points = |\"[^\"]+\" = )", r"\1", head)
            job = self.folder / "job.toml"
            job.write_text(head + "[[structure]]" + choices.replace("opening = ''", "opening = 1350"), encoding="utf-8")
            self.assert_planned(run("check", job, "--quick"))

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
        for asked in (["plan", ROOT / "examples" / "arbor.toml", "--json", "-"], ["--version"], ["plan", "--help"]):
            with open("/dev/full", "wb") as full:
                done = subprocess.run([PROGRAM, *asked], stdout=full, stderr=subprocess.PIPE, text=True)
            self.assertEqual(3, done.returncode, asked)
            self.assertIn("No space left on device", done.stderr)

    def test_a_folder_that_cannot_be_made_is_told(self):
        (self.folder / "file").write_text("in the way", encoding="utf-8")
        process = self.assert_status(run("plan", ROOT / "examples" / "arbor.toml", "--out", self.folder / "file" / "out"), 3)
        self.assertIn("cannot write: Not a directory", process.stderr)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
