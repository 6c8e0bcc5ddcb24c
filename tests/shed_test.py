#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The shed through the program: what is added can be planned with, reserved and taken, by several programs at once, and a
program killed in the middle has done all of a change or nothing."""
import json
import os
import random
import shutil
import signal
import sqlite3
import subprocess
import time
import unittest

from program import PROGRAM, ROOT, ProgramTest, arbor_job, run


class ShedTest(ProgramTest):
    def setUp(self):
        super().setUp()
        self.file = self.folder / "shed.db"

    def shed(self, action, *words, status=0):
        process = self.assert_status(run("shed", action, *words, "--shed", self.file), status)
        return process.stderr if status else process.stdout

    def job(self, title="Orchard arbor", opening=1350):
        path = self.folder / f"{title.replace(' ', '-')}.toml"
        path.write_text(arbor_job(f"opening = {opening}\n").replace("Test arbor", title), encoding="utf-8")
        return path

    def plan_file(self, job, name="plan.json", *words):
        path = self.folder / name
        self.assert_planned(run("plan", job, "--json", path, *words))
        return path, json.loads(path.read_text(encoding="utf-8"))

    def held(self):
        """{(name, length in µm): (quantity, reserved)} as the file has it, which must be a sound database."""
        with sqlite3.connect(self.file) as shed:
            self.assertEqual([("ok",)], shed.execute("PRAGMA integrity_check").fetchall())
            return {(name, length): (quantity, reserved) for name, length, quantity, reserved in shed.execute(
                "SELECT name, length_um, quantity, (SELECT coalesce(sum(quantity), 0) FROM reserved WHERE held = id)"
                " FROM held")}

    def post_section(self, plan):
        return next(piece for piece in plan["pieces"] if piece["name"] == "post")["section"]


class Keeping(ShedTest):
    def test_what_is_put_in_lies_there_until_it_is_taken(self):
        self.assertEqual("the shed is empty\n", self.shed("list"))
        self.shed("add", "4x4", "1.2 m", "2")
        self.shed("add", "4x4", "47 1/4 in")
        self.shed("add", "--fixing", "screw 5x80", "40")
        self.assertEqual("2 × 4x4 of 1200 mm\n1 × 4x4 of 1200.2 mm\n40 × screw 5x80\n", self.shed("list"))
        self.assertEqual("taken 2 × 4x4 of 1200 mm\n", self.shed("take", "4x4", "1200", "2"))
        refused = self.shed("take", "4x4", "1200", status=2)
        self.assertIn("1 × 4x4 of 1200 mm is wanted, and 0 lie free in the shed; see what there is with: garthwright "
                      "shed list [not-there]", refused)

    def test_says_what_is_wrong_and_what_would_be_right(self):
        for words, told in ((("lend",), "the shed cannot \"lend\"; known are list, add, take, release, restock"),
                            (("add", "4x4"), "it is not clear what to add; write shed add 4x4 \"1.2 m\" 2"),
                            (("add", "4x4", "long"), "long"),
                            (("add", "4x4", "-5"), "4x4"),
                            (("add", "4x4", "1.2 m", "many"), "\"many\" is no count; give a whole number above 0"),
                            (("restock", "garden.toml"), "no plan is named; write shed restock out/garden/plan.json")):
            with self.subTest(words=words):
                process = run("shed", *words, "--shed", self.file)
                self.assertEqual(2, process.returncode, process.stderr)
                self.assertIn(told, process.stderr)
        letter = self.folder / "letter.txt"
        letter.write_text("dear sir " * 900, encoding="utf-8")
        told = self.assert_status(run("shed", "list", "--shed", letter), 2).stderr
        self.assertIn("letter.txt: error: the file is no shed; name another file, or one that is not there yet", told)
        other = self.folder / "other.db"
        with sqlite3.connect(other) as database:
            database.execute("CREATE TABLE held (id)")
        told = self.assert_status(run("shed", "list", "--shed", other), 2).stderr
        self.assertIn("the file is a database of another program", told)
        self.assert_status(run("shed", "list", "--shed", self.folder), 3)

    def test_the_shed_stands_where_the_environment_says(self):
        home = {"GARTHWRIGHT_SHED": "", "XDG_DATA_HOME": "", "HOME": str(self.folder / "home")}
        self.assert_status(run("shed", "add", "4x4", "900", **home), 0)
        self.assertTrue((self.folder / "home" / ".local" / "share" / "garthwright" / "shed.db").is_file())
        self.assert_status(run("shed", "list", **{**home, "XDG_DATA_HOME": str(self.folder / "data")}), 0)
        self.assertTrue((self.folder / "data" / "garthwright" / "shed.db").is_file())
        self.assert_status(run("shed", "list", **{**home, "GARTHWRIGHT_SHED": str(self.folder / "mine.db")}), 0)
        self.assertTrue((self.folder / "mine.db").is_file())


class Planning(ShedTest):
    def test_a_plan_reserves_and_a_confirmed_cut_takes(self):
        job = self.job()
        _, bought = self.plan_file(job)
        section = self.post_section(bought)
        post = next(piece for piece in bought["pieces"] if piece["name"] == "post")
        screw = bought["purchase"]["fixings"][0]
        self.shed("add", section, str(post["length_mm"] + 40), "2")
        self.shed("add", "--fixing", screw["name"], "1000")
        path, plan = self.plan_file(job, "plan.json", "--shed", self.file)
        self.assertLess(plan["purchase"]["total_minor"], bought["purchase"]["total_minor"])
        self.assertEqual([{"section": section, "length_mm": post["length_mm"] + 40, "quantity": 2}],
                         plan["purchase"]["from_shed"]["off_cuts"])
        self.assertEqual([{"name": screw["name"], "quantity": int(screw["needed"])}],
                         plan["purchase"]["from_shed"]["fixings"])
        whole = [layout for layout in plan["purchase"]["cutting"] if layout.get("from_shed")]
        self.assertEqual(0, whole[0]["pieces"][0]["at_mm"], "an off-cut's end is square")
        self.assertIn("(2 reserved for Orchard arbor)", self.shed("list"))
        # Planning again changes nothing; another job finds the posts gone.
        self.assertEqual(plan, self.plan_file(job, "again.json", "--shed", self.file)[1])
        other = self.plan_file(self.job("Other arbor"), "other.json", "--shed", self.file)[1]
        self.assertEqual([], other["purchase"]["from_shed"]["off_cuts"])
        self.shed("release", "Other arbor")

        self.assertIn(f"taken 2 × {section}", self.shed("take", path))
        self.assertIn("nothing is reserved for 'Orchard arbor': it was taken before, or released",
                      self.shed("take", path, status=2))
        self.assertNotIn(section, self.shed("list"))
        put_in = self.shed("restock", path, "--least-mm", "500")
        for line in put_in.splitlines():
            self.assertTrue(line.startswith("put in "), line)
        for off_cut in plan["purchase"]["left_over"]["off_cuts"]:
            if off_cut["length_mm"] >= 500:
                self.assertIn((off_cut["section"], round(off_cut["length_mm"] * 1000)), self.held())
        self.assertIn("was put into the shed before", self.shed("restock", path, status=2))

    def test_only_what_saves_money_is_used(self):
        bought = self.plan_file(self.job())[1]
        screw = bought["purchase"]["fixings"][0]
        self.shed("add", "--fixing", screw["name"], "1")
        plan = self.plan_file(self.job(), "plan.json", "--shed", self.file)[1]
        spare = {"name": screw["name"], "quantity": 1}
        if plan["purchase"]["total_minor"] == bought["purchase"]["total_minor"]:
            self.assertNotIn(spare, plan["purchase"]["from_shed"]["fixings"])
        else:
            self.assertIn(spare, plan["purchase"]["from_shed"]["fixings"])

    def test_a_plan_made_before_the_last_takes_nothing(self):
        post = next(p for p in self.plan_file(self.job())[1]["pieces"] if p["name"] == "post")
        self.shed("add", post["section"], str(post["length_mm"]), "4")
        old, _ = self.plan_file(self.job(), "old.json", "--shed", self.file)
        self.plan_file(self.job(opening=1600), "new.json", "--shed", self.file)
        with sqlite3.connect(self.file) as shed:
            shed.execute("UPDATE reserved SET quantity = 1")
        self.assertIn("is not what this plan uses", self.shed("take", old, status=2))
        self.assertEqual(4, next(iter(self.held().values()))[0])

    def test_a_job_without_a_title_reserves_nothing(self):
        job = self.folder / "job.toml"
        job.write_text(arbor_job().replace('title = "Test arbor"\n', ""), encoding="utf-8")
        told = self.assert_status(run("plan", job, "--json", "-", "--shed", self.file), 2).stderr
        self.assertIn("give the job a title of its own [no-title]", told)

    def test_a_plan_that_cannot_be_written_leaves_the_old_reservation(self):
        post = next(p for p in self.plan_file(self.job())[1]["pieces"] if p["name"] == "post")
        self.shed("add", post["section"], str(post["length_mm"]), "4")
        wall = self.folder / "wall"
        wall.write_text("", encoding="utf-8")
        self.assert_status(run("plan", self.job(), "--json", wall / "plan.json", "--shed", self.file), 3)
        self.assertEqual([(4, 0)], list(self.held().values()))


class SeveralAtOnce(ShedTest):
    def start(self, *words):
        return subprocess.Popen([PROGRAM, *map(str, words)], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=ROOT)

    def test_two_plans_at_once_never_share_a_post(self):
        bought = self.plan_file(self.job())[1]
        post = next(p for p in bought["pieces"] if p["name"] == "post")
        for round_ in range(4):
            file = self.folder / f"shed{round_}.db"
            self.assert_status(run("shed", "add", post["section"], post["length_mm"], "5", "--shed", file), 0)
            jobs = [self.job(f"Arbor {name}") for name in ("one", "two", "three")]
            plans = [self.start("plan", job, "--json", "-", "--shed", file) for job in jobs]
            used = 0
            for plan in plans:
                out, told = plan.communicate(timeout=120)
                self.assertIn(plan.returncode, (0, 1), told)
                used += sum(o["quantity"] for o in json.loads(out)["purchase"]["from_shed"]["off_cuts"])
            self.file = file
            self.assertEqual([(5, used)], list(self.held().values()))
            self.assertLessEqual(used, 5)

    def test_many_takers_take_each_thing_once(self):
        self.shed("add", "4x4", "1200", "20")
        takers = [self.start("shed", "take", "4x4", "1200", "--shed", self.file) for _ in range(30)]
        got = sum(taker.wait(timeout=120) == 0 for taker in takers)
        for taker in takers:
            taker.communicate()
        self.assertEqual(20, got)
        self.assertEqual([(0, 0)], list(self.held().values()))

    def test_killed_in_the_middle_it_has_done_all_or_nothing(self):
        bought = self.plan_file(self.job())[1]
        post = next(p for p in bought["pieces"] if p["name"] == "post")
        screw = bought["purchase"]["fixings"][0]["name"]
        self.shed("add", post["section"], post["length_mm"], "4")
        self.shed("add", "--fixing", screw, "1000")
        path, plan = self.plan_file(self.job(), "plan.json", "--shed", self.file)
        before = self.held()
        uses = plan["purchase"]["from_shed"]
        after = {(o["section"], round(o["length_mm"] * 1000)): o["quantity"] for o in uses["off_cuts"]}
        after.update({(f["name"], 0): f["quantity"] for f in uses["fixings"]})
        self.assertEqual(2, len(after))
        after = {key: (before[key][0] - quantity, 0) for key, quantity in after.items()}
        started = time.monotonic()
        for _ in range(3):
            self.shed("list")
        usual = (time.monotonic() - started) / 3
        picked, whole, done = random.Random(4), self.file, 0
        # GARTHWRIGHT_KILLS=1000 goes on for longer.
        rounds = int(os.environ.get("GARTHWRIGHT_KILLS", 60))
        for round_ in range(rounds):
            self.file = self.folder / f"shed{round_}.db"
            shutil.copyfile(whole, self.file)
            taker = self.start("shed", "take", path, "--shed", self.file)
            time.sleep(picked.uniform(0, 2 * usual))
            taker.send_signal(signal.SIGKILL)
            taker.communicate()
            told = run("shed", "list", "--shed", self.file)
            self.assertEqual(0, told.returncode, told.stderr)
            self.assertIn(self.held(), (before, after))
            done += self.held() == after
        self.assertGreater(done, 0, "every one was killed before it had begun")
        self.assertLess(done, rounds, "none was killed in time")


if __name__ == "__main__":
    unittest.main()
