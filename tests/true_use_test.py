#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Holds that joints are judged with their own moments, and beams with all the fixings that hold them: from the forces of
each fixing, summed anew here."""
import json
import math
import unittest

from program import EXAMPLES, ROOT, ProgramTest, run
from forces_test import cross


def minus(a, b):
    return [p - q for p, q in zip(a, b)]


def dot(a, b):
    return sum(p * q for p, q in zip(a, b))


def mark_of(body):
    return body.split(" ")[0]


class Reckoned:
    """What `plan` says of a job, and the forces that `forces` hands out for it."""

    def __init__(self, job):
        self.checks = json.loads(run("plan", job, "--json", "-").stdout)["checks"]
        told = json.loads(run("forces", job, "--json", "-").stdout)
        self.results, self.nodes = told["results"], {n["id"]: n for n in told["nodes"]}
        self.links = {link["id"]: link for link in told["links"]}
        self.contacts = {contact["id"]: contact for contact in told["contacts"]}
        self.loads = {c["id"]: c["loads"] for c in told["combinations"]}
        self.members = told["members"]

    def check(self, kind, *marks):
        found = [c for c in self.checks if c["kind"] == kind and sorted(s["mark"] for s in c["subjects"]) == sorted(marks)]
        if len(found) != 1:
            raise AssertionError(f"{len(found)} checks {kind} of {marks}")
        return found[0]

    def shared_evenly(self, *marks):
        """The greatest force that a joint of these marks hands on, over the number of its fixings."""
        most = 0
        for result in self.results:
            joints = {}
            for of in result["links"]:
                link = self.links[of["id"]]
                if sorted(map(mark_of, link["bodies"])) == sorted(marks):
                    force, fixings = joints.setdefault(tuple(link["bodies"]), ([0, 0, 0], set()))
                    fixings.add(link["fixing"])
                    force[:] = [f + g for f, g in zip(force, of["force_n"])]
            for force, fixings in joints.values():
                most = max(most, math.hypot(*force) / len(fixings))
        return most

    def on(self, body, result):
        """All that acts on a body: place, force, moment."""
        acting = []
        for load in self.loads[result["combination"]]:
            if load["body"] == body:
                acting.append((load["at_mm"], load["force_n"], load.get("moment_nmm", [0, 0, 0])))
        for of in result["links"]:
            link = self.links[of["id"]]
            if body in link["bodies"]:
                sign = 1 if link["bodies"][1] == body else -1
                acting.append((link["at_mm"], [sign * f for f in of["force_n"]], [0, 0, 0]))
        for of in result["contacts"]:
            contact = self.contacts[of["id"]]
            if body in contact["bodies"]:
                sign = of["push_n"] if contact["bodies"][1] == body else -of["push_n"]
                acting.append((contact["at_mm"], [sign * n for n in contact["normal"]], [0, 0, 0]))
        return acting

    def bending(self, mark, wide, thick):
        """Greatest of edge + 0.7 flat bending stress anywhere in the timbers of a mark, each section's moment being that of
        all that acts before it."""
        most = 0
        for body in {n["body"] for n in self.nodes.values() if mark_of(n["body"]) == mark}:
            at = [n["xyz_mm"] for n in self.nodes.values() if n["body"] == body]
            first, last = min(at), max(at)
            along = [d / math.dist(first, last) for d in minus(last, first)]
            side = cross([0, 0, 1], along)
            for result in self.results:
                acting = self.on(body, result)
                # Sections just beside whatever acts, on both sides.
                for x in {dot(minus(place, first), along) + d for place, _, _ in acting for d in (-0.5, 0.5)}:
                    section = [f + x * a for f, a in zip(first, along)]
                    moment = [0, 0, 0]
                    for place, force, turn in acting:
                        if dot(minus(place, first), along) <= x:
                            moment = [m + c + t for m, c, t in zip(moment, cross(minus(place, section), force), turn)]
                    edge = abs(dot(moment, side)) / (thick * wide * wide / 6)
                    flat = abs(moment[2]) / (wide * thick * thick / 6)
                    most = max(most, edge + 0.7 * flat, 0.7 * edge + flat)
        return most


class TrueUse(ProgramTest):
    def assert_fails_by_its_moment(self, job, *marks):
        joint = job.check("joint", *marks)
        self.assertEqual("fails", joint["verdict"], joint["title"])
        self.assertLess(job.shared_evenly(*marks), 1000 * joint["capacity"], "a failure by the force alone shows nothing")
        self.assertGreater(1000 * joint["demand"], job.shared_evenly(*marks))

    # Both were called good by a reckoning that had one link to a joint and looked at its force alone.
    def test_an_arbor_whose_posts_turn_their_bolts_fails_there(self):
        self.assert_fails_by_its_moment(Reckoned(ROOT / "tests" / "wrong_arbors" / "two_bolts.toml"), "A1", "H1")

    def test_an_arbor_with_short_braces_fails_at_both_their_ends(self):
        job = Reckoned(ROOT / "tests" / "wrong_arbors" / "short_braces.toml")
        self.assert_fails_by_its_moment(job, "A1", "E1")
        self.assert_fails_by_its_moment(job, "E1", "F1")

    # EN 1995-1-1: C24 bent, 24 N/mm² × (150/h)^0.2 (3.3), kmod 0.7 (Table 3.1, SC3, short-term), γM 1.3.
    def strength(self, wide):
        return 24 * min(1.3, (150 / wide) ** 0.2) * 0.7 / 1.3

    def example(self, name):
        return Reckoned(next(job for job in EXAMPLES if job.stem == name))

    def test_the_frame_of_the_arbor_is_bent_with_its_beam_by_nine_screws(self):
        job = self.example("arbor")
        used = job.bending("E1", 94, 44) / self.strength(94)
        told = job.check("bending", "E1")["utilisation"]
        self.assertAlmostEqual(1, told / used, delta=0.15)
        # One who hangs from the end of the middle rafter, 1.5 kN, at the middle between two posts 1445 mm apart, as of a simple
        # beam; frame and fascia are bent alike, so that each takes what it is as stiff (44 × 94 beside 45 × 145).
        arm, span = 933 + 222, 933
        moment = 1500 * arm / span * 1445 / 4
        share = 44 * 94**3 / (44 * 94**3 + 45 * 145**3)
        by_hand = share * moment / (44 * 94**2 / 6) / self.strength(94)
        self.assertGreater(told, by_hand)  # weight and plants, and the couples of its screws, come on top
        self.assertLess(told, 2 * by_hand)

    def test_the_ledger_spans_from_screw_to_screw(self):
        job = self.example("pergola-wall")
        used = job.bending("C1", 195, 45) / self.strength(195)
        told = job.check("bending", "C1")["utilisation"]
        self.assertAlmostEqual(1, told / used, delta=0.15)
        self.assertLess(told, 0.25)  # held at its middle alone it would be 2.1


if __name__ == "__main__":
    unittest.main()
