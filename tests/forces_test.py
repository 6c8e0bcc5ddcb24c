# SPDX-License-Identifier: Apache-2.0
"""Checks from its own file alone that what `forces` writes hangs together: every timber in balance, no face that pulls."""
import json
import math
import unittest

from program import EXAMPLES, ROOT, ProgramTest, is_roofed, run

try:
    import jsonschema
except ImportError:
    jsonschema = None


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


class Balance:
    """Sums forces and their moments about the origin, body by body."""

    def __init__(self):
        self.force, self.moment, self.size = {}, {}, {}

    def add(self, body, at, force, moment=(0, 0, 0)):
        turn = cross(at, force)
        total = self.force.setdefault(body, [0, 0, 0])
        turning = self.moment.setdefault(body, [0, 0, 0])
        for i in range(3):
            total[i] += force[i]
            turning[i] += turn[i] + moment[i]
        self.size[body] = self.size.get(body, 0) + math.hypot(*force)


class Forces(ProgramTest):
    def written(self, job):
        process = self.assert_status(run("forces", job, "--json", "-"), 0)
        return json.loads(process.stdout)

    def check(self, job):
        told = self.written(job)
        if jsonschema:
            schema = json.loads((ROOT / "docs" / "forces.schema.json").read_text(encoding="utf-8"))
            jsonschema.validate(told, schema)
        links = {link["id"]: link for link in told["links"]}
        contacts = {contact["id"]: contact for contact in told["contacts"]}
        loads = {combination["id"]: combination for combination in told["combinations"]}
        pieces = {(m["structure"], m["piece"]) for m in told["members"]}
        roofed = is_roofed(job)
        self.assertTrue(told["results"])
        self.assertTrue(links and contacts or not roofed)  # of a gate only the posts are a frame
        self.assertEqual(len(links), len(told["links"]))
        pulled = 0
        for result in told["results"]:
            combination = loads[result["combination"]]
            balance = Balance()
            for load in combination["loads"]:
                balance.add(load["body"], load["at_mm"], load["force_n"], load.get("moment_nmm", (0, 0, 0)))
            self.assertEqual(set(links), {link["id"] for link in result["links"]})
            for of in result["links"]:
                link = links[of["id"]]
                balance.add(link["bodies"][1], link["at_mm"], of["force_n"])
                balance.add(link["bodies"][0], link["at_mm"], [-f for f in of["force_n"]])
                along = sum(f * a for f, a in zip(of["force_n"], link["axis"]))
                if link["along"] == "pull":  # the second body is drawn back to the first, never pushed off it
                    self.assertLessEqual(along, 1e-3)
                    pulled += along < -1
            for of in result["contacts"]:
                contact = contacts[of["id"]]
                self.assertGreaterEqual(of["push_n"], 0)
                push = [of["push_n"] * n for n in contact["normal"]]
                balance.add(contact["bodies"][1], contact["at_mm"], push)
                balance.add(contact["bodies"][0], contact["at_mm"], [-f for f in push])
            for given in result["ground"]:
                balance.add(given["body"], given["at_mm"], given["force_n"], given["moment_nmm"])
            for body in balance.force:
                if body in ("wall", "ground"):
                    continue
                rest = math.hypot(*balance.force[body])
                self.assertLessEqual(rest, 1e-4 * balance.size[body] + 1e-2, f"{combination['words']}: {body}")
                turn = math.hypot(*balance.moment[body])
                self.assertLessEqual(turn, 1e-4 * balance.size[body] * 3000 + 50, f"{combination['words']}: {body} turns")
        if roofed:
            self.assertGreater(pulled, 0)
        return told, pieces

    def test_every_body_of_every_example_is_in_balance(self):
        for job in EXAMPLES:
            with self.subTest(job.name):
                self.check(job)

    def test_every_fixing_has_a_link_where_it_crosses(self):
        told, pieces = self.check(ROOT / "examples" / "arbor.toml")
        for link in told["links"]:
            self.assertNotEqual(link["bodies"][0], link["bodies"][1])
        nine = [link for link in told["links"] if all(" frame long member" in b or "fascia" in b for b in link["bodies"])]
        self.assertGreaterEqual(len(nine), 18)  # every screw of the fascias by itself

    def test_said_in_words_and_written_whole(self):
        job = ROOT / "examples" / "arbor.toml"
        to = self.folder / "forces.json"
        process = self.assert_status(run("forces", job, "--json", to), 0)
        self.assertIn("on one of 9 of", process.stdout)
        self.assertEqual(to.read_text(encoding="utf-8"), run("forces", job, "--json", "-").stdout)

    def test_a_full_disk_leaves_nothing(self):
        to = self.folder / "forces.json"
        self.assert_status(run("forces", ROOT / "examples" / "arbor.toml", "--json", to, file_limit=1000), 3)
        self.assertEqual([], list(self.folder.iterdir()))


if __name__ == "__main__":
    unittest.main()
