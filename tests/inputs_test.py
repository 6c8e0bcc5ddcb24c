#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""What comes in from outside may do no harm, and what goes out tells the truth: files that are no files, texts that command
a terminal, numbers that are none, a check that says what the plan says."""
import json
import os
import resource
import signal
import stat
import subprocess
import threading
import time
import unittest
from pathlib import Path

from program import EXAMPLES, PROGRAM, ProgramTest, arbor_job, planned, run

ESCAPES = {"C0": "\x1b[31m", "C1": "\x9b31m", "delete": "\x7f", "bidi": "\u202e", "isolate": "\u2066", "separator": "\u2028"}


class Truth(ProgramTest):
    def test_check_and_plan_come_to_one_verdict(self):
        jobs = list(EXAMPLES)
        weak = self.folder / "weak.toml"
        weak.write_text(arbor_job('opening = 2400\nfront_overhang = 400\n', before='[site]\nwind_speed = 45\n'),
                        encoding="utf-8")
        for job in jobs + [weak]:
            with self.subTest(job=job):
                process = planned(job) if job in EXAMPLES else run("plan", job, "--out", self.folder / "out")
                checked = run("check", job)
                if process.returncode == 2:
                    self.assertEqual(2, checked.returncode)
                    continue
                self.assertEqual(process.returncode, checked.returncode, checked.stdout + process.stdout)
                lines = process.stdout.splitlines()
                if job.stem != "planter":  # of what stands loose no wind is told
                    self.assertRegex(lines[1], r": (stands to|fails) .*")
                counts = next(line for line in lines if line.startswith("of ")).split(";")[0]
                self.assertRegex(counts, r"^of \d+ checks \d+ fail and \d+ want attention$")
                self.assertIn(counts, checked.stdout)
                out = process.out if job in EXAMPLES else self.folder / "out"
                plan = json.loads((out / "plan.json").read_text(encoding="utf-8"))
                for check in plan["checks"]:
                    if check["verdict"] == "fails":
                        self.assertIn(check["title"], checked.stdout)
                if process.returncode == 1:
                    self.assertNotIn("nothing against it", checked.stdout)

    def test_quick_says_what_it_left_out(self):
        """What it looks at it judges as `check` does; of the rest it says that it was not looked at, and no word of a pass."""
        job, arbor = self.folder / "job.toml", arbor_job().split("[[structure]]")[1]
        weak = arbor_job('opening = 2400\nfront_overhang = 400\n', before='[site]\nwind_speed = 45\n')
        twice = arbor_job() + "\n[[structure]]" + arbor.replace('name = "arbor"', 'name = "second"')
        for text, quick, whole, said in ((arbor_job(), 0, 0, "; "), (weak, 0, 1, "; "),
                                         (twice, 1, 1, "a check fails; "), (arbor_job("opening = 90\n"), 2, 2, None)):
            job.write_text(text, encoding="utf-8")
            process = self.assert_status(run("check", job, "--quick"), quick)
            checked = self.assert_status(run("check", job), whole)
            if said is not None:
                self.assertNotIn("nothing against it;", process.stdout)
                self.assertIn(said + "strength, ground and the order of work were not looked at (--quick)\n", process.stdout)
                self.assertNotIn(" checks ", process.stdout)
            # The remarks are those of the check, in its words.
            self.assertLessEqual(set(process.stderr.splitlines()), set(checked.stderr.splitlines()))

    def test_a_limit_is_kept_and_what_it_left_out_is_said(self):
        job = self.folder / "wide.toml"
        job.write_text('format = 1\ntitle = "Wide"\n[timber]\ncatalogue = "harrow-lane"\n[[structure]]\nname = "p"\n'
                       'pattern = "pergola"\n[structure.choices]\nlength = 8000\ndepth = 4800\nrafters = 60\npurlins = 60\n',
                       encoding="utf-8")
        began = time.monotonic()
        process = self.assert_status(run("check", job, "--limit-s", 8), 1)
        self.assertLess(time.monotonic() - began, 10)
        self.assertIn("can be planned; the time was up before all was looked at", process.stdout)
        self.assertIn("of 0 checks 0 fail and 0 want attention; 1 could not be made", process.stdout)
        self.assertRegex(process.stderr, r"the checks of strength and ground were not worked out in the time there was: "
                                         r"\d+ pieces in \d+ joints were too much; allow more time, part the job into several, "
                                         r"or choose fewer pieces \[not-in-time\]")
        process = self.assert_status(run("plan", job, "--limit-s", 0.001, "--json", "-"), 2)
        self.assertEqual("", process.stdout)
        self.assertRegex(process.stderr, "the time was up while (building the structures|making the solids)")

    def test_what_is_too_much_is_refused_at_once(self):
        """Each of these took minutes, or gigabytes, before it was counted first."""
        kinds = {"stock": [{"length_mm": 4800, "price_minor": 1290}], "kerf_mm": 3, "trim_mm": 10,
                 "pieces": [{"length_mm": 1000 + i / 100, "quantity": 1} for i in range(100_000)]}
        boxes = [{"id": f"p{i}", "parts": [{"box": [i % 5 * 200, 0, i // 5 * 100, i % 5 * 200 + 100, 100, i // 5 * 100 + 100]}]}
                 for i in range(22)]
        cases = {"cases": [{"id": "A", "pieces": boxes, "final_down": "+x", "ask": {"min_turns": [{"from": "-z"}]}}]}
        many = 'format = 1\ntitle = "M"\n[timber]\ncatalogue = "harrow-lane"\n' + "".join(
            f'[[structure]]\nname = "a{i}"\npattern = "arbor"\n' for i in range(10_000))
        for words, text, said in (
                (("buy",), json.dumps(kinds), "pieces of 100000; at most 5000 different lengths"),
                (("order",), json.dumps(cases), "min_turns has too many orders of 22 pieces to look through"),
                (("check",), many, "the job has 10000 structures; at most 500 are planned at once")):
            with self.subTest(words=words):
                began = time.monotonic()
                before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
                process = self.assert_status(run(*words, "-", text=text), 2)
                self.assertLess(time.monotonic() - began, 10)
                self.assertLess(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss, max(before, 600_000))  # kB
                self.assertIn(said, process.stderr)

    def test_what_could_not_be_checked_is_no_failure_and_no_pass(self):
        (self.folder / "plank.lua").write_text(
            "return { name = 'plank', title = 'Plank', choices = {}, build = function(c)\n"
            "place { name = 'plank', section = '6x2', runs = 'right', wide = 'back', length = 1500 } end }",
            encoding="utf-8")
        job = self.folder / "job.toml"
        job.write_text('format = 1\ntitle = "P"\n[timber]\ncatalogue = "harrow-lane"\n[[structure]]\npattern = "plank"\n',
                       encoding="utf-8")
        process = self.assert_status(run("check", job), 0)
        self.assertIn("1 could not be made", process.stdout)
        self.assertNotIn("nothing against it", process.stdout)
        plan = self.plan(job)
        self.assertEqual(["attention"], [check["verdict"] for check in plan["checks"] if "not checked" in check["title"]])
        self.assertNotIn("(0 % used)", run("plan", job, "--out", self.folder / "out").stdout)


class OutputFiles(ProgramTest):
    def setUp(self):
        super().setUp()
        self.job = self.folder / "job.toml"
        self.job.write_text(arbor_job(), encoding="utf-8")

    def json_to(self, target, *allowed):
        return self.assert_status(run("plan", self.job, "--json", target), *(allowed or (0, 1)))

    def test_a_device_is_written_into_and_stays(self):
        self.json_to("/dev/null")
        self.assertTrue(stat.S_ISCHR(os.stat("/dev/null").st_mode))
        if os.geteuid() == 0:
            null = self.folder / "null"
            try:
                os.mknod(null, 0o666 | stat.S_IFCHR, os.makedev(1, 3))
            except PermissionError:
                return
            self.json_to(null)
            self.assertTrue(stat.S_ISCHR(os.lstat(null).st_mode))
            full = self.folder / "full"
            os.mknod(full, 0o666 | stat.S_IFCHR, os.makedev(1, 7))
            self.assertIn("No space left", self.json_to(full, 3).stderr)
            self.assertTrue(stat.S_ISCHR(os.lstat(full).st_mode))

    def test_a_pipe_is_written_into(self):
        pipe = self.folder / "pipe"
        os.mkfifo(pipe)
        got = []
        reader = threading.Thread(target=lambda: got.append(pipe.read_bytes()))
        reader.start()
        self.json_to(pipe)
        reader.join(timeout=30)
        self.assertEqual("Test arbor", json.loads(got[0])["title"])
        self.assertTrue(stat.S_ISFIFO(os.lstat(pipe).st_mode))
        self.assertEqual("Test arbor", json.loads(self.json_to("/dev/stdout").stdout)["title"])

    def test_links_are_followed_and_stay(self):
        real, link, second = self.folder / "real.json", self.folder / "link.json", self.folder / "second.json"
        real.write_text("old", encoding="utf-8")
        link.symlink_to("real.json")
        second.symlink_to(link)
        self.json_to(second)
        self.assertTrue(link.is_symlink() and second.is_symlink())
        self.assertEqual("Test arbor", json.loads(real.read_text(encoding="utf-8"))["title"])
        dangling = self.folder / "dangling.json"
        dangling.symlink_to("later.json")
        self.json_to(dangling)
        self.assertTrue(dangling.is_symlink() and (self.folder / "later.json").is_file())
        ring = self.folder / "ring"
        ring.symlink_to("ring")
        self.assertIn("Too many levels of symbolic links", self.json_to(ring, 3).stderr)
        (self.folder / "dir").mkdir()
        (self.folder / "to_dir").symlink_to("dir")
        self.assertIn("Is a directory", self.json_to(self.folder / "to_dir", 3).stderr)
        # A whole folder behind a link.
        self.assert_planned(run("plan", self.job, "--out", self.folder / "to_dir"))
        self.assertTrue((self.folder / "dir" / "plan.pdf").is_file())
        self.assertTrue((self.folder / "to_dir").is_symlink())

    def test_the_mode_is_kept(self):
        target = self.folder / "plan.json"
        target.write_text("old", encoding="utf-8")
        for mode in (0o600, 0o640, 0o666):
            target.chmod(mode)
            self.json_to(target)
            self.assertEqual(mode, stat.S_IMODE(target.stat().st_mode))

    def test_a_link_laid_for_a_temporary_file_is_not_written_through(self):
        victim = self.folder / "victim"
        victim.write_text("precious", encoding="utf-8")
        out = self.folder / "out"
        out.mkdir()
        process = subprocess.Popen([PROGRAM, "plan", self.job, "--json", out / "p.json"], stdout=subprocess.DEVNULL,
                                   stderr=subprocess.DEVNULL)
        for ending in (f".p.json.{process.pid}.new", f".p.json.garthwright-{process.pid}-0.new"):
            (out / ending).symlink_to(victim)
        process.wait(timeout=120)
        self.assertEqual("precious", victim.read_text(encoding="utf-8"))

    def test_litter_of_a_killed_run_is_swept_and_nothing_else(self):
        out = self.folder / "out"
        out.mkdir()
        dead = subprocess.Popen(["true"])
        dead.wait()
        litter = out / f".plan.json.garthwright-{dead.pid}-3.new"
        litter.write_text("half", encoding="utf-8")
        keep = [out / name for name in (f".plan.json.garthwright-{os.getpid()}-3.new", ".notes.new", "plan.json.old",
                                        ".garthwright-1-2.new", f".x.garthwright-{dead.pid}-3.new.txt")]
        for path in keep:
            path.write_text("mine", encoding="utf-8")
        folder = out / f".dir.garthwright-{dead.pid}-3.new"
        folder.mkdir()
        self.assert_planned(run("plan", self.job, "--out", out))
        self.assertFalse(litter.exists())
        self.assertTrue(folder.is_dir())
        for path in keep:
            self.assertEqual("mine", path.read_text(encoding="utf-8"), path)

    def test_killed_at_any_moment_the_files_are_of_one_plan_or_a_note_says_so(self):
        out, other = self.folder / "out", self.folder / "other.toml"
        other.write_text(arbor_job("opening = 1500\n"), encoding="utf-8")
        sets = []
        for job in (self.job, other):
            self.assert_planned(run("plan", job, "--out", out))
            sets.append(self.files(out))
        began = time.monotonic()
        run("plan", self.job, "--out", out)
        usual = time.monotonic() - began
        noted = 0
        # GARTHWRIGHT_KILLS=1000 goes on for longer; a plan takes ten times as long as a shed.
        for i in range(int(os.environ.get("GARTHWRIGHT_KILLS", 80)) // 10):
            process = subprocess.Popen([PROGRAM, "plan", (self.job, other)[i % 2], "--out", out],
                                       stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
            # Most of the time goes into the plan; the end is what matters.
            deadline = time.monotonic() + 3 * usual
            while time.monotonic() < deadline and process.poll() is None and not any(out.glob(f".*-{process.pid}-*.new")):
                time.sleep(0.0005)
            time.sleep(0.004 * (i % 8))
            process.send_signal(signal.SIGKILL)
            process.wait()
            files = {name: text for name, text in self.files(out).items() if not Path(name).name.startswith(".")}
            if "FILES-OF-TWO-PLANS.txt" in files:
                noted += 1
                continue
            self.assertTrue(any(all(files.get(name) == whole[name] for name in whole if not name.startswith("templates/"))
                                for whole in sets), "parts of two plans, and not a word")
        process = self.assert_planned(run("plan", self.job, "--out", out))
        if noted and "FILES-OF-TWO-PLANS.txt" in files:
            self.assertIn("ended while it changed the files here", process.stderr)
        self.assertFalse((out / "FILES-OF-TWO-PLANS.txt").exists())
        self.assertEqual([], [name for name in os.listdir(out) if name.startswith(".")])

    def test_a_folder_of_two_plans_is_told_of_by_the_next_run(self):
        out = self.folder / "out"
        out.mkdir()
        (out / "FILES-OF-TWO-PLANS.txt").write_text("as left", encoding="utf-8")
        process = self.assert_planned(run("plan", self.job, "--out", out))
        self.assertIn("warning: the run before this one was ended while it changed the files here, which may be of two "
                      "plans; this run writes them all anew [killed-run]", process.stderr)
        self.assertFalse((out / "FILES-OF-TWO-PLANS.txt").exists())


class InputFiles(ProgramTest):
    def quickly(self, *words):
        began = time.monotonic()
        process = self.assert_status(run(*words), 2)
        self.assertLess(time.monotonic() - began, 20)
        return process.stderr

    def test_pipes_devices_and_huge_files_are_refused_unread(self):
        pipe, huge = self.folder / "pipe", self.folder / "huge"
        os.mkfifo(pipe)
        with open(huge, "wb") as file:
            file.truncate(3 << 30)
        for command in ("check", "plan", "why", "thrift", "buy", "frame", "order"):
            extra = ("A1",) if command == "why" else ()
            self.assertIn("it is a device or a pipe", self.quickly(command, pipe, *extra))
            self.assertIn("the file is over 64 MB", self.quickly(command, huge, *extra))
        self.assertIn("it is a device or a pipe", self.quickly("check", "/dev/zero"))

    def test_patterns_and_catalogues_too(self):
        job = self.folder / "job.toml"
        def huge(path):
            with open(path, "wb") as file:
                file.truncate(3 << 30)

        for make in (os.mkfifo, huge):
            for name, text in (("yard.toml", arbor_job(catalogue="yard")),
                               ("own.lua", arbor_job().replace('pattern = "arbor"', 'pattern = "own"'))):
                path = self.folder / name
                make(path)
                job.write_text(text, encoding="utf-8")
                self.assertRegex(self.quickly("check", job), "cannot be read: (it is a device or a pipe|the file is over 4 MB)")
                path.unlink()

    def test_patterns_that_the_job_does_not_name_are_not_run(self):
        (self.folder / "patterns").mkdir()
        (self.folder / "patterns" / "aaa.lua").write_text("while true do end", encoding="utf-8")
        os.mkfifo(self.folder / "patterns" / "bbb.lua")
        job = self.folder / "job.toml"
        job.write_text(arbor_job("opening = 2400\n", before="[site]\nwind_speed = 45\n"), encoding="utf-8")
        for words in (("plan", job, "--out", self.folder / "out"), ("thrift", job), ("check", job)):
            process = self.assert_planned(run(*words))
            self.assertNotIn("aaa", process.stderr)
        process = self.assert_status(run("new", "arbor", cwd=self.folder), 0)
        self.assertEqual("", process.stderr)
        self.assertEqual("", self.assert_status(run("patterns", "arbor", cwd=self.folder), 0).stderr)


class Readers(ProgramTest):
    def kernel(self, command, text, *words):
        path = self.folder / "list.json"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return run(command, path, *words)

    LIST = {"stock": [{"length_mm": 4800, "price_minor": 10}, {"length_mm": 3600, "price_minor": 8}], "trim_mm": 10,
            "pieces": [{"length_mm": 5000, "mark": "B2"}]}

    def test_buy_names_the_lengths_of_the_list(self):
        told = self.assert_status(self.kernel("buy", json.dumps(self.LIST)), 2).stderr
        self.assertIn("list.json: error: pieces[0] 'B2' is 5000 mm long, and the longest that can be had is 4800 mm less "
                      "10 mm of trim; give a longer stock, or make the piece of two [bad-list]", told)
        csv = "kind,length_mm,price_minor,quantity,mark\nstock,4800,10,,\npiece,5000,,1,B2\n"
        told = self.assert_status(self.kernel("buy", csv), 2).stderr
        self.assertIn("list.json:3: error: the piece 'B2' is 5000 mm long, and the longest that can be had is 4800 mm",
                      told)

    def test_deep_nesting_is_refused(self):
        for command in ("buy", "frame", "order"):
            for deep in ('{"stock":' + "[" * 100000, '{"a":' * 100000, "[" * 100000 + "]" * 100000):
                self.assertIn("more than 100 deep", self.assert_status(self.kernel(command, deep), 2).stderr)

    def test_a_byte_order_mark_is_passed_over(self):
        fine = dict(self.LIST, pieces=[{"length_mm": 1000}])
        for line_end in (b"\n", b"\r\n"):
            text = json.dumps(fine, indent=1).encode().replace(b"\n", line_end)
            self.assert_status(self.kernel("buy", b"\xef\xbb\xbf" + text), 0)
        csv = b"\xef\xbb\xbfkind,length_mm,price_minor,quantity\r\nstock,4800,10,\r\npiece,1000,,1\r\n"
        self.assert_status(self.kernel("buy", csv), 0)
        job = self.folder / "job.toml"
        job.write_bytes(b"\xef\xbb\xbf" + arbor_job().replace("\n", "\r\n").encode())
        self.assert_planned(run("check", job))
        for text in (json.dumps(fine).encode("utf-16"), b"\xff\xfekind"):
            for command in ("buy", "frame", "order"):
                self.assertIn("this is UTF-16; save it as UTF-8",
                              self.assert_status(self.kernel(command, text), 2).stderr)

    def test_numbers_that_are_none_are_no_options(self):
        for words in (("serve", "--port", "nan"), ("serve", "--port", "80.5"), ("serve", "--port", "1e999"),
                      ("serve", "--threads", "nan"), ("serve", "--limit-s", "inf"),
                      ("buy", "x.json", "--limit-s", "nan"), ("buy", "x.json", "--limit-s", "-1"),
                      ("buy", "x.json", "--limit-s", "1,000"), ("plan", "x.toml", "--people", "NaN"),
                      ("plan", "x.toml", "--carry-kg", "infinity"), ("plan", EXAMPLES[0], "--hour", "-5"),
                      ("shed", "list", "--least-mm", "nan")):
            with self.subTest(words=words):
                told = self.assert_status(run(*words), 2).stderr
                self.assertRegex(told, "give (a|0 or more)")
                self.assertNotIn("a fault in the program", told)

    def test_nothing_that_comes_in_commands_the_terminal(self):
        all_of_them = "".join(ESCAPES.values())
        toml = json.dumps(f"x{all_of_them}y")  # TOML's \\u escapes are JSON's

        def silent(process):
            said = process.stdout + process.stderr
            for kind, escape in ESCAPES.items():
                self.assertNotIn(escape, said, (kind, process.args))
            return process

        job = self.folder / "job.toml"
        for text in (arbor_job(before=f"[site]\nclimber = {toml}\n"), arbor_job(f"opening = {toml}\n"),
                     arbor_job().replace('"Test arbor"', toml), arbor_job().replace('name = "arbor"', f"name = {toml}"),
                     arbor_job(f"opening = 1350\n{toml} = 3\n"), arbor_job(catalogue=toml[1:-1]),
                     arbor_job() + f"\n[structure.levels]\n{toml} = 3\n"):
            job.write_text(text, encoding="utf-8")
            self.assertEqual(2, silent(run("check", job)).returncode, text)
        x = f"x{all_of_them}"
        for words in (("check", x), (x,), ("plan", "--" + x), ("new", x), ("buy", "x", "--limit-s", x), ("shed", x),
                      ("patterns", x), ("why", EXAMPLES[0], x), ("plan", EXAMPLES[0], "--first", x),
                      ("plan", EXAMPLES[0], "--sheets", x), ("thrift", EXAMPLES[0], x)):
            self.assertNotEqual(0, silent(run(*words)).returncode, words)
        for command in ("buy", "frame", "order"):
            for text in (f'{{{toml}: 1}}', f'{{"nodes": [{{"id": {toml}}}], "cases": [{{"id": {toml}}}]}}',
                         f'{{"stock": [{{"length_mm": {toml}}}]}}', f"kind,length_mm,{x}\n{x},1,1\n"):
                silent(self.kernel(command, text))


class Sheds(ProgramTest):
    def test_a_count_beyond_all_counts_is_refused(self):
        job, path, shed = self.folder / "j.toml", self.folder / "plan.json", self.folder / "shed.db"
        job.write_text(arbor_job(), encoding="utf-8")
        self.assert_planned(run("plan", job, "--json", path))
        plan = json.loads(path.read_text(encoding="utf-8"))
        for quantity in (2**32 + 3, 2**31, -1, 1.5, "3", 1e300):
            plan["purchase"]["left_over"]["off_cuts"] = [{"section": "4x4", "length_mm": 1000, "quantity": quantity}]
            path.write_text(json.dumps(plan), encoding="utf-8")
            self.assert_status(run("shed", "restock", path, "--shed", shed), 2)
            self.assertEqual("the shed is empty\n", run("shed", "list", "--shed", shed).stdout)

    def test_what_is_no_plain_file_is_no_shed(self):
        """SQLite would read a device, and leave a journal beside it."""
        pipe = self.folder / "pipe"
        os.mkfifo(pipe)
        for shed in (pipe, "/dev/null", "/dev/zero"):
            for words in (("list",), ("add", "4x4", "1000")):
                told = self.assert_status(run("shed", *words, "--shed", shed), 2).stderr
                self.assertIn("this is a device or a pipe; give a plain file [no-shed]", told)
        self.assertFalse(os.path.exists("/dev/null-journal") or os.path.exists("/dev/zero-journal"))
        self.assertTrue(stat.S_ISFIFO(os.lstat(pipe).st_mode))

    def test_a_mistyped_path_makes_no_folder(self):
        shed = self.folder / "shde" / "shed.db"
        for words, more in ((("shed", "list"), {}), (("shed", "add", "4x4", "1000"), {})):
            told = self.assert_status(run(*words, "--shed", shed, **more), 2).stderr
            self.assertIn("there is no folder", told)
            told = self.assert_status(run(*words, GARTHWRIGHT_SHED=str(shed)), 2).stderr
            self.assertFalse(shed.parent.exists())

    def test_a_name_that_commands_the_terminal_is_refused(self):
        told = self.assert_status(run("shed", "add", "4\x1b[31mx4", "1000", "--shed", self.folder / "s.db"), 2).stderr
        self.assertNotIn("\x1b", told)

    def test_lengths_as_people_write_them(self):
        shed = self.folder / "s.db"
        for text in ("4'-6\"", "4ft 6", "4' 6", "4.5'", "4 ft. 6 in.", "4'-06\"", "4′ 6″", "1371.6"):
            self.assertEqual("put in 1 × 4x4 of 1371.6 mm\n", run("shed", "add", "4x4", text, "--shed", shed).stdout, text)
        for text in ("1'150", "4' 13\"", "1,150", "1 150", "nan", "inf", "1e999", "4'-6\"x"):
            self.assertIn("is not a length", self.assert_status(run("shed", "add", "4x4", text, "--shed", shed), 2).stderr)


if __name__ == "__main__":
    unittest.main()
