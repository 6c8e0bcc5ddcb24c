# SPDX-License-Identifier: Apache-2.0
"""What `decide` finds of small jobs: an answer by its schema, counts that add up, a job that is saved and then passes."""
import json
import time
import unittest

from program import ROOT, ProgramTest, run

try:
    import jsonschema
except ImportError:
    jsonschema = None

SPARE_S = 3  # to start, and where others keep the machine busy

JOB = """\
# An arch over a path. Invented.
format = 1
title = "Path arch"
[site]
exposure = "sheltered"
climber = "clematis"      # light
[timber]
catalogue = "harrow-lane"

[[structure]]
pattern = "arbor"

[structure.open]          # for decide
in_ground = { from = 600, to = 1000, step = 200 }  # rock below a metre
hole_diameter = [300, 400]

# what is wished for
[structure.choices]
opening = 1000            # clear
brace_leg = 0
"""


class Decide(ProgramTest):
    def write(self, text, name="job.toml"):
        path = self.folder / name
        path.write_text(text, encoding="utf-8")
        return path

    def decided(self, job, *words, status=(0, 1)):
        process = self.assert_status(run("decide", job, "--json", "-", *words), *status)
        answer = json.loads(process.stdout)
        if jsonschema:
            jsonschema.validate(answer, json.loads((ROOT / "docs" / "decide.schema.json").read_text(encoding="utf-8")))
        self.assertEqual(process.returncode, 0 if answer["verdict"] == "stands" else 1)
        return answer

    def test_the_counts_add_up_and_what_is_saved_is_what_was_found(self):
        job, saved = self.write(JOB), self.folder / "saved.toml"
        answer = self.decided(job, "--save", saved)
        self.assertTrue(answer["proven"])
        self.assertEqual(answer["combinations"], 6)
        self.assertEqual(sum(each["count"] for each in answer["excluded"]), 6)
        if answer["verdict"] == "none stands":
            self.assertFalse(saved.exists())
            return
        text = saved.read_text(encoding="utf-8")
        self.assertNotIn("structure.open", text)
        for comment in ("# An arch", "# light", "# for decide", "# rock below a metre", "# what is wished for", "# clear"):
            self.assertIn(comment, text)
        plan = self.plan(saved)
        self.assertFalse([check for check in plan["checks"] if check["verdict"] == "fails"])
        self.assertEqual(plan["purchase"]["total_minor"], answer["total_minor"])
        self.assertEqual({choice["name"] for choice in answer["choices"]}, {"in_ground", "hole_diameter"})

    def test_the_most_of_a_choice_stays_within_the_money(self):
        job = self.write(JOB.replace("opening = 1000            # clear\n", "").replace(
            "hole_diameter = [300, 400]", "opening = [900, 1000, 1100]"))
        dear = self.decided(job, "--within", "100000", "--most", "opening")
        self.assertEqual(sum(each["count"] for each in dear["excluded"]), 9)
        none = self.decided(job, "--within", "1", "--most", "opening", status=(1,))
        self.assertTrue(none["proven"])
        self.assertEqual([each["why"] for each in none["excluded"] if each["why"] == "dearer"], ["dearer"])

    def test_wrong_words_are_told(self):
        for words, text in ((("--within", "400"), "--within and --most belong together"),
                            (("--take", "2"), "ask for --advice too"),
                            (("--within", "400", "--most", "post"), "no length or count called \"post\" is open")):
            process = self.assert_status(run("decide", self.write(JOB), *words), 2)
            self.assertIn(text, process.stderr)

    def test_advice_taken_leaves_nothing_that_fails(self):
        text = JOB.split("[structure.open]")[0] + "[structure.choices]\nopening = 1000   # clear\nin_ground = 300\n"
        job, taken = self.write(text), self.folder / "taken.toml"
        process = self.assert_status(run("decide", job, "--advice", "--limit-s", "10", "--json", "-", "--save", taken), 0, 1)
        advice = json.loads(process.stdout)
        if jsonschema:
            jsonschema.validate(advice, json.loads((ROOT / "docs" / "advice.schema.json").read_text(encoding="utf-8")))
        self.assertGreater(advice["fails"], 0)
        if advice["verdict"] == "found":
            plan = self.plan(taken)
            self.assertFalse([check for check in plan["checks"] if check["verdict"] == "fails"])
            self.assertEqual(plan["purchase"]["total_minor"], advice["ways"][0]["total_minor"])
            self.assertIn("# clear", taken.read_text(encoding="utf-8"))

    def test_what_a_new_user_tried_stands_after_one_command(self):
        """As it is, or by the first way of the advice: every check passes, all can be bought and an order of work exists."""
        for job in sorted((ROOT / "tests" / "decide_jobs").glob("*.toml")):
            with self.subTest(job=job.stem):
                taken = self.folder / job.name
                process = self.assert_status(run("decide", job, "--advice", "--limit-s", "12", "--json", "-", "--save", taken), 0)
                advice = json.loads(process.stdout)
                self.assertIn(advice["verdict"], ("stands", "found"))
                plan = self.plan(taken if advice["verdict"] == "found" else job)
                self.assertEqual([], [c["title"] for c in plan["checks"] if c["verdict"] == "fails" or c["kind"] == "unsolved"])
                self.assertEqual([], [d["code"] for d in plan["diagnostics"] if d["code"] in ("no-order", "no-fixing")])
                if advice["verdict"] == "found":
                    self.assertEqual(plan["purchase"]["total_minor"], advice["ways"][0]["total_minor"])

    def test_advice_is_no_dearer_than_what_the_pattern_takes_by_itself(self):
        text = (ROOT / "tests" / "decide_jobs" / "light-arbor.toml").read_text(encoding="utf-8")
        usual = self.plan(self.write("".join(line for line in text.splitlines(True) if not line.startswith(("post", "in_ground")))))
        self.assertEqual([], [c["title"] for c in usual["checks"] if c["verdict"] == "fails"])
        process = self.assert_status(run("decide", self.write(text, "light.toml"), "--advice", "--limit-s", "12", "--json", "-"), 0)
        self.assertLessEqual(json.loads(process.stdout)["ways"][0]["total_minor"], usual["purchase"]["total_minor"])

    def test_where_a_wall_does_not_carry_there_is_the_way_of_posts(self):
        text = (ROOT / "tests" / "decide_jobs" / "wall-pergola.toml").read_text(encoding="utf-8")
        job = self.write(text.replace('soil = "sand"', 'soil = "sand"\nwall = "solid brick"'))
        fails = [c["title"] for c in self.plan(job)["checks"] if c["verdict"] == "fails"]
        self.assertTrue(fails and all("the wall" in title for title in fails), fails)
        taken = self.folder / "posts.toml"
        process = self.assert_status(run("decide", job, "--advice", "--limit-s", "16", "--json", "-", "--save", taken), 0)
        ways = json.loads(process.stdout)["ways"]
        self.assertEqual([("posts instead of the wall", '"nothing"')],
                         [(way["kind"], change["value"]) for way in ways for change in way["choices"] if change["name"] == "against"])
        if ways[0]["kind"] == "posts instead of the wall":
            self.assertEqual([], [c["title"] for c in self.plan(taken)["checks"] if c["verdict"] == "fails"])

    def test_where_nothing_else_will_do_a_wish_is_left_out(self):
        job = self.write('format = 1\nunits = "mm"\n[timber]\ncatalogue = "harrow-lane"\n[[structure]]\npattern = "pergola"\n'
                         '[structure.choices]\nlength = 2700\ndepth = 2700\nbrace_leg = 500 # for looks\n')
        taken = self.folder / "plain.toml"
        process = self.assert_status(run("decide", job, "--advice", "--limit-s", "4", "--json", "-", "--save", taken), 0)
        way = json.loads(process.stdout)["ways"][0]
        self.assertEqual(("without", [("brace_leg", "0", "500")]),
                         (way["kind"], [(c["name"], c["value"], c["was"]) for c in way["choices"]]))
        self.assertIn("brace_leg = 0 # for looks", taken.read_text(encoding="utf-8"))
        plan = self.plan(taken)
        self.assertEqual([], [c["title"] for c in plan["checks"] if c["verdict"] == "fails"])
        self.assertEqual(plan["purchase"]["total_minor"], way["total_minor"])

    def test_advice_keeps_to_its_time(self):
        job = self.write(JOB.split("[structure.open]")[0].replace("clematis", "grape vine").replace("sheltered", "open") +
                         '[structure.choices]\nopening = 1500\nin_ground = 400\npost = "4x2"\n')
        began = time.monotonic()
        run("decide", job, "--advice", "--limit-s", "2", "--json", "-")
        self.assertLess(time.monotonic() - began, 2 + SPARE_S)

    def test_soil_that_no_hole_may_be_sized_in_is_told_at_once(self):
        job = self.write(JOB.split("[structure.open]")[0].replace('[timber]', 'soil = "peat"\n[timber]') +
                         "[structure.choices]\nopening = 1000\n")
        process = self.assert_status(run("decide", job, "--advice", "--json", "-"), 1)
        advice = json.loads(process.stdout)
        self.assertEqual(("none found", []), (advice["verdict"], advice["ways"]))
        self.assertIn("Posts in peat may not be sized by presumed values", advice["why"])


if __name__ == "__main__":
    unittest.main()
