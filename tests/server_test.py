#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The server as a browser, a proxy and a stranger meet it. Every answer is held to docs/openapi.json by an independent
validator, and to what the command line says of the same job."""
import base64
import collections
import gzip
import json
import math
import os
import re
import signal
import socket
import struct
import subprocess
import sys
import threading
import time
import unittest
from pathlib import Path

import jsonschema

from program import EXAMPLES, PROGRAM, ROOT, ProgramTest, arbor_job, planned, run
from served import OPENAPI, TOML, Server, faults

ARBOR = (ROOT / "examples" / "arbor.toml").read_text(encoding="utf-8")
# Every price step of every choice of three wide pergolas: takes many seconds, and looks up now and then whether it
# should stop.
SLOW = 'format = 1\n[timber]\ncatalogue = "harrow-lane"\n' + "".join(
    f'[[structure]]\nname = "p{i}"\npattern = "pergola"\n[structure.choices]\nlength = {7000 + i}\ndepth = 3900\n'
    for i in range(3))
# Within the allowed range: sixty rafters under sixty purlins are some thousands of joints.
WIDE = ('format = 1\n[timber]\ncatalogue = "harrow-lane"\n[[structure]]\nname = "p"\npattern = "pergola"\n'
        '[structure.choices]\nlength = 8000\ndepth = 4800\nrafters = 60\npurlins = 60\n')
WRONG = arbor_job("opening = 90\n")
OPEN = ARBOR.replace("opening = 1350", "opening = 1350  # as wide as the gate") + "[structure.open]\nrafters = [5, 6]\n"


class ServerTest(ProgramTest):
    words, environment = (), {}

    @classmethod
    def setUpClass(cls):
        cls.server = Server(*cls.words, **cls.environment)

    @classmethod
    def tearDownClass(cls):
        status, said = cls.server.end()
        assert status == 0, f"the server ended with {status}: {said}"
        assert said == "", f"the server complained: {said}"

    def ask(self, method, path, body=None, headers=None, status=None, **more):
        reply = self.server.ask(method, path, body, headers, **more)
        if status is not None:
            self.assertEqual(status, reply.status, f"{method} {path}: {reply.body[:1000]!r}")
        return reply


# ---- the description ------------------------------------------------------------------------------------------------

class Described(ServerTest):
    """Every path, method and status of docs/openapi.json, and nothing that it does not tell."""

    @classmethod
    def setUpClass(cls):
        import tempfile
        cls.jobs = tempfile.TemporaryDirectory(prefix="garthwright_")
        (Path(cls.jobs.name) / "garden.toml").write_text(ARBOR, encoding="utf-8")
        cls.words = ("--jobs-dir", cls.jobs.name)
        super().setUpClass()

    @classmethod
    def tearDownClass(cls):
        super().tearDownClass()
        cls.jobs.cleanup()

    def test_the_document_is_served_and_every_schema_in_it_is_one(self):
        reply = self.ask("GET", "/api/v1/openapi.json", status=200)
        self.assertEqual(OPENAPI, reply.json())
        for name, schema in OPENAPI["components"]["schemas"].items():
            with self.subTest(name):
                jsonschema.Draft202012Validator.check_schema(schema)

    def files(self):
        return [kind["name"] for kind in self.ask("GET", "/api/v1/files", status=200).json()]

    def test_every_answer_is_as_described(self):
        compute = [path for path, item in OPENAPI["paths"].items() if "post" in item]
        questions = [("GET", path, None, {}, 200) for path in
                     ("/api/v1/patterns", "/api/v1/patterns?units=ft-in&yard=mill-creek", "/api/v1/yards", "/api/v1/blades",
                      "/api/v1/files", "/api/v1/site", "/api/v1/examples", "/api/v1/openapi.json", "/api/v1/jobs", "/api/v1/jobs/garden", "/healthz")]
        questions += [("GET", path, None, {"If-None-Match": "*"}, 304) for path in
                      ("/api/v1/patterns", "/api/v1/yards", "/api/v1/blades", "/api/v1/files", "/api/v1/site", "/api/v1/examples",
                       "/api/v1/openapi.json", "/api/v1/jobs/garden")]
        questions += [("GET", "/api/v1/patterns?yard=nowhere", None, {}, 400), ("GET", "/api/v1/jobs/other", None, {}, 404),
                      ("GET", "/api/v1/yards?x=1", None, {}, 400),
                      ("GET", "/api/v1/jobs", None, {"Host": "elsewhere.example"}, 403),
                      ("GET", "/api/v1/examples", None, {"Host": "elsewhere.example"}, 403),
                      ("GET", "/api/v1/blades", None, {"Host": "elsewhere.example"}, 403),
                      ("GET", "/api/v1/files", None, {"Host": "elsewhere.example"}, 403),
                      ("GET", "/api/v1/site", None, {"Host": "elsewhere.example"}, 403),
                      ("GET", "/api/v1/patterns", None, {"Origin": "http://elsewhere.example"}, 403),
                      ("GET", "/api/v1/openapi.json", None, {"Sec-Fetch-Site": "cross-site"}, 403),
                      ("GET", "/api/v1/jobs/garden", None, {"Origin": "null"}, 403)]
        for path in compute:
            asked = {"/api/v1/why": path + "?mark=A1", "/api/v1/thrift": path + "?choice=opening"}.get(path, path)
            job = OPEN if path == "/api/v1/decide" else ARBOR
            for name in self.files():
                url = asked.replace("{file}", name)
                questions += [("POST", url, job, {}, 200), ("POST", url, job, {"If-None-Match": "*"}, 304)]
                if path != "/api/v1/check":
                    questions.append(("POST", url, WRONG, {}, 400))
                if "{" not in path:
                    break
            questions += [("POST", asked.replace("{file}", "plan.json"), "x" * 300_000, {}, 413),
                          ("POST", asked.replace("{file}", "plan.json"), ARBOR, {"Content-Type": "text/plain"}, 415)]
        questions += [("POST", "/api/v1/files/other.txt", ARBOR, {}, 404), ("POST", "/api/v1/check", WRONG, {}, 200),
                      ("POST", "/api/v1/sheets?format=svg&page=2", ARBOR, {}, 200),
                      ("POST", "/api/v1/plan?nmae=x", ARBOR, {}, 400),
                      ("POST", "/api/v1/plan?order=0", ARBOR, {}, 200), ("POST", "/api/v1/plan?order=2", ARBOR, {}, 400), ("POST", "/api/v1/why", ARBOR, {}, 400),
                      ("POST", "/api/v1/why?mark=Z9", ARBOR, {}, 400), ("POST", "/api/v1/thrift?choice=x", ARBOR, {}, 400)]
        questions += [("POST", "/api/v1/sheets?" + wrong, ARBOR, {}, 400) for wrong in
                      ("page=99&format=svg", "page=one&format=svg", "format=png", "paper=a0", "sheets=none", "both_units=2")]
        for headers, status in (({}, 428), ({"If-Match": '"old"'}, 412), ({"If-None-Match": "*"}, 412)):
            questions.append(("PUT", "/api/v1/jobs/garden", ARBOR, headers, status))
        questions += [("PUT", "/api/v1/jobs/new", ARBOR, {"If-None-Match": "*"}, 201),
                      ("PUT", "/api/v1/jobs/new", WRONG, {"If-Match": "*"}, 204),
                      ("PUT", "/api/v1/jobs/none", ARBOR, {"If-Match": "*"}, 404),
                      ("PUT", "/api/v1/jobs/new", ARBOR, {"If-Match": "*", "Content-Type": "text/plain"}, 415)]

        seen = set()
        for method, path, body, headers, status in questions:
            with self.subTest(f"{method} {path} {headers} → {status}"):
                reply = self.ask(method, path, body, headers, status)
                wrong, looked_at = faults(method, path, reply)
                self.assertEqual([], wrong)
                seen.add(looked_at)
        described = {(path, method, status) for path, item in OPENAPI["paths"].items() for method, operation in item.items()
                     if method in ("get", "post", "put") for status in operation["responses"]}
        # Seen elsewhere: draining; a disk that fails while a file is saved cannot be had here.
        elsewhere = {("/healthz", "get", "503"), ("/api/v1/jobs/{name}", "put", "400")}
        self.assertEqual(set(), described - seen - elsewhere)

    def test_every_word_and_range_told_of_a_site_is_what_a_job_is_read_by(self):
        told = self.ask("GET", "/api/v1/site", status=200).json()
        for route, yard in (("EN", "harrow-lane"), ("US", "mill-creek")):
            def ok(name, value):
                clay = 'soil = "stiff clay"\n' if name == "clay_strength" else ""
                job = f'format = 1\n[timber]\ncatalogue = "{yard}"\n[site]\n{clay}{name} = {json.dumps(value)}\n' + \
                      '[[structure]]\npattern = "pergola"\n[structure.choices]\nlength = 3000\ndepth = 2400\nheight = 2100\n'
                answer = self.ask("POST", "/api/v1/check", job, status=200).json()
                return not any(each["severity"] == "error" for each in answer["diagnostics"])
            for each in told[route]:
                if each["name"] == "route":
                    continue
                with self.subTest(f"{route} {each['name']}"):
                    if "options" in each:
                        self.assertIn(each.get("default", each["options"][0]), each["options"])
                        for word in (each["options"][0], each["options"][-1]):
                            self.assertTrue(ok(each["name"], word), word)
                        self.assertFalse(ok(each["name"], "no such word"))
                    else:
                        usual = each.get("default_value", each["min"])  # none: what was not measured is taken for nothing
                        self.assertLessEqual(each["min"], usual)
                        self.assertLessEqual(usual, each["max"])
                        self.assertTrue(ok(each["name"], usual))
                        self.assertFalse(ok(each["name"], each["max"] * 1.01))

    def test_a_plan_without_its_order_is_the_same_plan(self):
        whole, quick = (self.ask("POST", "/api/v1/plan" + query, ARBOR, status=200).json() for query in ("", "?order=0"))
        self.assertNotEqual([], whole["stages"])
        self.assertEqual([], quick["stages"])
        for part in ("pieces", "purchase", "marking", "holes"):
            self.assertEqual(whole[part], quick[part])

    def test_blades_follow_what_the_manuals_print(self):
        # The larger figure where tables differ (docs/references.md, Blades): 1/4 in 16 mm, 1/2 in 64 mm, 3/4 in 140 mm.
        told = self.ask("GET", "/api/v1/blades", status=200).json()
        bandsaw = {each["inches"]: each for each in told["blades"] if each["tool"] == "bandsaw"}
        self.assertEqual([16, 64, 140], [bandsaw[inches]["least_radius_mm"] for inches in ("1/4", "1/2", "3/4")])
        for each in told["blades"]:  # a quarter more in thick timber, and wider blades first
            self.assertAlmostEqual(1.25 * each["least_radius_mm"], each["least_radius_thick_mm"])
        for tool in ("bandsaw", "jigsaw"):
            widths = [each["width_mm"] for each in told["blades"] if each["tool"] == tool]
            self.assertEqual(sorted(widths, reverse=True), widths)

    def test_what_stands_is_told_line_by_line_and_taken(self):
        lines = [json.loads(line) for line in self.ask("POST", "/api/v1/decide", OPEN, status=200).body.splitlines()]
        answer, text = lines[-1]["answer"], lines[-1]["job"]
        jsonschema.validate(answer, json.loads((ROOT / "docs" / "decide.schema.json").read_text(encoding="utf-8")))
        self.assertTrue(answer["proven"], answer)
        for line in lines[:-1]:  # none before it claims more than came of it; fixings go down once more at the end
            if line["best_minor"] is not None:
                self.assertGreaterEqual(line["best_minor"], answer["total_minor"])
                self.assertLessEqual(line["bound_minor"], line["best_minor"])
        plan = self.ask("POST", "/api/v1/plan", text, status=200).json()
        self.assertEqual(answer["total_minor"], plan["purchase"]["total_minor"])
        self.assertEqual([], [each["title"] for each in plan["checks"] if each["verdict"] == "fails"])
        self.assertIn("# as wide as the gate", text)
        self.assertEqual(["nothing-open"], self.ask("POST", "/api/v1/decide", text, status=400).codes())
        lines = [json.loads(line) for line in self.ask("POST", "/api/v1/advice", text, status=200).body.splitlines()]
        self.assertEqual(("stands", []), (lines[-1]["answer"]["verdict"], lines[-1]["jobs"]))

    def test_a_wrong_answer_would_be_found(self):
        reply = self.ask("POST", "/api/v1/why?mark=A1", ARBOR, status=200)
        reply.body = json.dumps({**reply.json(), "lines": [1]}).encode()
        self.assertNotEqual([], faults("POST", "/api/v1/why?mark=A1", reply)[0])

    def test_what_is_not_described_is_not_there(self):
        for path in ("/api", "/api/v1", "/api/v1/", "/api/v2/plan", "/api/v1/plan/", "/api/v1/files/", "/etc/passwd",
                     "/../../etc/passwd", "/%2e%2e/%2e%2e/etc/passwd", "/assets/", "/api/v1/jobs/../garden", "/index.php"):
            with self.subTest(path):
                self.assertEqual(["not-found"], self.ask("GET", path, status=404).codes())
        for method, path, allowed in (("DELETE", "/api/v1/jobs/garden", "GET, HEAD, PUT"), ("GET", "/api/v1/plan", "POST"),
                                      ("OPTIONS", "/api/v1/plan", "POST"), ("POST", "/api/v1/yards", "GET, HEAD"),
                                      ("PATCH", "/", "GET, HEAD"), ("POST", "/healthz", "GET, HEAD")):
            with self.subTest(f"{method} {path}"):
                reply = self.ask(method, path, status=405)
                self.assertEqual(allowed, reply.headers["Allow"])
                self.assertNotIn("Access-Control-Allow-Origin", reply.headers)


# ---- the same answers as the command line -----------------------------------------------------------------------------

def level_on(ground, x, y):
    """Level of a model's ground: between four places of its net by both ways' shares; 0 where none was measured."""
    if ground is None:
        return 0
    def cell(places, value):
        i = max(k for k in range(len(places) - 1) if places[k] <= value)
        return i, (value - places[i]) / (places[i + 1] - places[i])
    (i, u), (j, v) = cell(ground["x_mm"], x), cell(ground["y_mm"], y)
    at = lambda a, b: ground["level_mm"][b * len(ground["x_mm"]) + a]
    return (at(i, j) * (1 - u) + at(i + 1, j) * u) * (1 - v) + (at(i, j + 1) * (1 - u) + at(i + 1, j + 1) * u) * v


class SameAsTheCommandLine(ServerTest):
    words = ("--jobs-dir", ROOT / "tests" / "golden" / "errors")

    def test_every_file_of_every_example_has_the_same_bytes(self):
        for example in EXAMPLES:
            path, text = example.relative_to(ROOT), example.read_text(encoding="utf-8")
            out = planned(example).out
            for name, bytes_ in self.files(out).items():
                if name.startswith("templates/"):
                    continue  # not served one by one: they are on the sheets
                with self.subTest(f"{path} {name}"):
                    asked = "/api/v1/sheets?name=" if name == "plan.pdf" else f"/api/v1/files/{name}?name="
                    self.assertEqual(bytes_, self.ask("POST", asked + str(path), text, status=200).body)
            self.assertEqual((out / "plan.json").read_bytes(),
                             self.ask("POST", f"/api/v1/plan?name={path}", text, status=200).body)

    def test_why_and_thrift_say_the_same(self):
        told = self.assert_status(run("why", "examples/arbor.toml", "A1"), 0).stdout
        self.assertEqual(told.splitlines(), self.ask("POST", "/api/v1/why?mark=A1", ARBOR, status=200).json()["lines"])
        told = self.assert_status(run("thrift", "examples/arbor.toml", "opening", "rafters", "--json"), 0).stdout
        self.assertEqual(told.encode(), self.ask("POST", "/api/v1/thrift?choice=opening,rafters", ARBOR, status=200).body)

    def test_every_wrong_job_is_told_in_the_same_words(self):
        jobs = sorted((ROOT / "tests" / "golden" / "errors").glob("*.toml"))
        told = 0
        for job in jobs:
            name = str(job.relative_to(ROOT))
            with self.subTest(job.name):
                process = run("check", name)
                if process.returncode == 0 or not process.stderr:
                    continue  # a catalogue that one of the jobs draws on
                reply = self.ask("POST", f"/api/v1/check?name={name}", job.read_bytes())
                lines = []
                for one in reply.json()["diagnostics"]:
                    where = one["where"]
                    place = where["file"]
                    for figure in ("line", "column"):
                        place += f":{where[figure]}" if where[figure] else ""
                    place = ": ".join(filter(None, (place, where["piece"])))
                    cure = f"; {one['cure']}" if one["cure"] else ""
                    lines.append(f"{place}: {one['severity']}: {one['what']}{cure} [{one['code']}]".removeprefix(": "))
                # The server's shelves hold the job's folder by its whole path.
                self.assertEqual(process.stderr.replace(str(ROOT) + "/", ""),
                                 "".join(line + "\n" for line in lines).replace(str(ROOT) + "/", ""))
                told += 1
        self.assertGreater(told, 15)

    def test_the_model_is_the_structure(self):
        """The triangles' volumes (divergence theorem) are those of the plan, piece by piece, and edges lie on them."""
        for example in EXAMPLES:
            text = example.read_text(encoding="utf-8")
            plan = self.ask("POST", "/api/v1/plan", text, status=200).json()
            quick = self.ask("POST", "/api/v1/quick", text, status=200).json()
            model = quick["model"]
            whole = self.ask("POST", "/api/v1/model", text, status=200).json()
            fixings = whole.pop("fixings")
            self.assertEqual(whole, model)
            # Each fixing of the build order is one of the model's, through bodies that are there.
            in_order, in_model = collections.Counter(), collections.Counter(each["item"] for each in fixings)
            for stage in plan["stages"]:
                for each in stage["fixings"]:
                    in_order[each["name"]] += each["count"]
            self.assertEqual(in_order, in_model)
            there = {" ".join(filter(None, (each["where"], each["name"], each["mark"]))) for each in model["pieces"]}
            there |= {f"panel {each['name']}" for each in model["panels"]} | {"the wall"}
            self.assertLessEqual({body for each in fixings for body in each["through"]}, there)
            # An open panel is drawn as the laths that the model says: from its one edge to the other.
            sizes = {each["name"]: each for each in plan["panels"]}
            for panel in model["panels"]:
                self.assertEqual(panel["solidity"] < 0.9, panel["laths"] is not None)
                for way, size in (("upright", "width_mm"), ("level", "height_mm")) if panel["laths"] else ():
                    row = panel["laths"][way]
                    self.assertAlmostEqual(sizes[panel["name"]][size], (row["count"] - 1) * row["every_mm"] + row["wide_mm"], delta=0.05)
            # The ground is told where the job measured it, and passes through the middle of each hole's top; between the
            # net's places it is straight, so that a bend inside a cell is cut off by a little.
            self.assertEqual("[ground]" in text, model["ground"] is not None, example.name)
            for footing in model["footings"]:
                x, y, z = footing["centre"]
                self.assertAlmostEqual(level_on(model["ground"], x, y), z, delta=15, msg=example.name)
            # A wall is told where a job leans on one: the ledger's back lies on it, and it looks to the garden.
            self.assertEqual('against = "wall"' in text, bool(model["walls"]), example.name)
            # A gate's leaf turns about a line at its hinges, and reaches nearly over the opening.
            self.assertEqual('pattern = "gate"' in text, bool(model["swings"]), example.name)
            for each in model["swings"]:
                self.assertIn(abs(each["opens_deg"]), (90, 180))
                if opening := re.search(r"^opening = (\d+)$", text, re.MULTILINE):
                    self.assertAlmostEqual(int(opening[1]), math.dist(each["axis"][:2], each["reach"][:2]), delta=60)
            volumes = {}
            for shape in model["shapes"]:
                numbers = [struct.unpack(f"<{len(raw) // 4}{kind}", raw) for raw, kind in
                           ((base64.b64decode(shape["positions"]), "f"), (base64.b64decode(shape["indices"]), "I"),
                            (base64.b64decode(shape["edges"]), "f"))]
                points = [numbers[0][i:i + 3] for i in range(0, len(numbers[0]), 3)]
                corners = [points[i] for i in numbers[1]]
                self.assertEqual(0, len(numbers[2]) % 6)
                self.assertGreaterEqual(len(numbers[2]) // 6, 12)
                volumes[shape["id"]] = sum(
                    a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0])
                    for a, b, c in zip(corners[::3], corners[1::3], corners[2::3])) / 6
            by_mark = {row["mark"]: row for row in plan["pieces"]}
            for piece in model["pieces"]:
                row = by_mark[piece["mark"]]
                # Meshed within 0.25 mm of curved ends and bores.
                self.assertAlmostEqual(1, volumes[piece["shape"]] / row["volume_mm3"], delta=2e-3, msg=piece)
                turn = piece["transform"]
                self.assertAlmostEqual(1, turn[0] * (turn[5] * turn[10] - turn[6] * turn[9])
                                       - turn[4] * (turn[1] * turn[10] - turn[2] * turn[9])
                                       + turn[8] * (turn[1] * turn[6] - turn[2] * turn[5]), places=6)
            counted = {}
            for piece in model["pieces"]:
                counted[piece["mark"]] = counted.get(piece["mark"], 0) + 1
                self.assertEqual(counted[piece["mark"]], piece["instance"])
            self.assertEqual({mark: row["quantity"] for mark, row in by_mark.items()}, counted)
            summary = quick["summary"]
            self.assertEqual(plan["purchase"]["total_minor"], summary["price_minor"])
            self.assertEqual(sum(line["quantity"] for line in plan["purchase"]["timber"]), summary["lengths"])
            self.assertAlmostEqual(sum(s["timber_kg"] + s["panels_kg"] for s in plan["structures"]), summary["mass_kg"],
                                   places=2)
            self.assertEqual([row["length_mm"] for row in plan["pieces"]], [line["length_mm"] for line in quick["pieces"]])

    def test_a_size_taken_hold_of_moves_as_it_says(self):
        """Each size that names a choice: with the choice 20 mm more, the size is 20 × `per` mm more."""
        held = 0
        for example in EXAMPLES:
            text = example.read_text(encoding="utf-8")
            quick = self.ask("POST", "/api/v1/quick", text, status=200).json()
            if len(quick["structures"]) != 1:
                continue
            for size in quick["model"]["sizes"]:
                taken = next((c for c in quick["structures"][0]["choices"] if c["name"] == size["choice"]), None)
                if size["choice"] is None:
                    continue
                with self.subTest(f"{example.name} {size['name']} by {size['choice']}"):
                    self.assertIn("value_mm", taken)
                    # To a whole millimetre first: structure sizes in inches are no whole numbers of them.
                    other = taken["value_mm"] + (20 if taken["value_mm"] + 20 <= taken["max"] else -20)
                    kept = [line for line in text.splitlines() if not line.startswith(size["choice"] + " ")]
                    changed = self.ask("POST", "/api/v1/quick", "\n".join(kept) + f"\n{size['choice']} = {other}\n")
                    if changed.status == 400:
                        continue  # this choice cannot go there: sizes that no longer fit, lengths that are not sold
                    after = next(s for s in changed.json()["model"]["sizes"] if s["name"] == size["name"])
                    self.assertAlmostEqual(size["value_mm"] + size["per"] * (other - taken["value_mm"]), after["value_mm"],
                                           places=2)
                    held += 1
        self.assertGreater(held, 10)

    def test_checks_tell_the_choices_even_when_the_job_is_wrong(self):
        good = self.ask("POST", "/api/v1/check", ARBOR, status=200).json()
        self.assertTrue(good["ok"])
        by_name = {choice["name"]: choice for choice in good["structures"][0]["choices"]}
        self.assertEqual({"name": "opening", "value_mm": 1350, "text": "1350 mm", "min": 500, "max": 4000,
                          "is_default": False}, by_name["opening"])
        self.assertTrue(by_name["brace_leg"]["is_default"])
        self.assertEqual(5, by_name["rafters"]["value"])
        wrong = self.ask("POST", "/api/v1/check", ARBOR + '\n[[structure]]\npattern = "arbour"\n', status=200).json()
        self.assertFalse(wrong["ok"])
        self.assertEqual(["unknown-pattern"], [one["code"] for one in wrong["diagnostics"]])
        self.assertEqual(["orchard arbor"], [one["name"] for one in wrong["structures"]])

    def test_the_sheet_list_adds_up_to_the_sheets(self):
        kinds = self.ask("POST", "/api/v1/sheets/list", ARBOR, status=200).json()
        first = 1
        for kind in kinds:
            self.assertEqual(first, kind["first_page"])
            first += kind["pages"]
        self.ask("POST", f"/api/v1/sheets?format=svg&page={first - 1}", ARBOR, status=200)
        self.ask("POST", f"/api/v1/sheets?format=svg&page={first}", ARBOR, status=400)
        for kind in kinds:
            svg = self.ask("POST", f"/api/v1/sheets?format=svg&page={kind['first_page']}", ARBOR, status=200).body.decode()
            self.assertIn(f"<title>{kind['title']}</title>", svg)


# ---- HTTP -------------------------------------------------------------------------------------------------------------

class Http(ServerTest):
    def test_equal_questions_have_equal_tags_and_are_not_sent_twice(self):
        for path in ("/api/v1/plan", "/api/v1/files/model.glb"):
            first = self.ask("POST", path, ARBOR, status=200)
            self.assertEqual(first.headers["ETag"], self.ask("POST", path, ARBOR, status=200).headers["ETag"])
            again = self.ask("POST", path, ARBOR, {"If-None-Match": '"x", ' + first.headers["ETag"]}, status=304)
            self.assertEqual(b"", again.body)
            self.ask("POST", path, ARBOR.replace("1350", "1351"), {"If-None-Match": first.headers["ETag"]}, status=200)

    def test_json_is_compressed_for_those_who_take_it(self):
        plain = self.ask("POST", "/api/v1/quick", ARBOR, status=200)
        self.assertNotIn("Content-Encoding", plain.headers)
        for accepted in ("gzip", "br, gzip;q=0.5", "*"):
            small = self.ask("POST", "/api/v1/quick", ARBOR, {"Accept-Encoding": accepted}, status=200)
            self.assertEqual("gzip", small.headers["Content-Encoding"])
            self.assertEqual(plain.body, gzip.decompress(small.body))
            self.assertNotEqual(plain.headers["ETag"], small.headers["ETag"])
            self.assertLess(len(small.body), len(plain.body) / 2)
            self.ask("POST", "/api/v1/quick", ARBOR, {"If-None-Match": small.headers["ETag"]}, status=304)
        for refused in ("br", "gzip;q=0", "gzip;q=0.0", "identity"):
            reply = self.ask("POST", "/api/v1/quick", ARBOR, {"Accept-Encoding": refused}, status=200)
            self.assertNotIn("Content-Encoding", reply.headers)

    def test_every_answer_carries_the_house_headers(self):
        for method, path, body in (("GET", "/", None), ("GET", "/nowhere", None), ("POST", "/api/v1/check", ARBOR),
                                   ("POST", "/api/v1/plan", WRONG), ("GET", "/healthz", None)):
            reply = self.ask(method, path, body)
            self.assertIn("default-src 'self'", reply.headers["Content-Security-Policy"])
            self.assertIn("frame-ancestors 'none'", reply.headers["Content-Security-Policy"])
            self.assertEqual("nosniff", reply.headers["X-Content-Type-Options"])
            self.assertEqual("no-referrer", reply.headers["Referrer-Policy"])

    def test_the_page_or_an_honest_word_stands_at_the_root(self):
        reply = self.ask("GET", "/", status=200)
        self.assertEqual("text/html; charset=utf-8", reply.headers["Content-Type"])
        self.assertIn(b"Garthwright", reply.body)
        self.assertEqual(304, self.ask("GET", "/", headers={"If-None-Match": reply.headers["ETag"]}).status)
        self.assertEqual(b"", self.ask("HEAD", "/", status=200).body)

    def test_only_its_own_pages_are_answered(self):
        here = f"127.0.0.1:{self.server.port}"
        for headers, status in (
                ({"Host": here, "Origin": "http://" + here}, 200), ({"Host": "localhost"}, 200),
                ({"Host": f"localhost:{self.server.port}", "Sec-Fetch-Site": "same-origin"}, 200), ({"Host": "[::1]"}, 200),
                ({"Host": "127.1.2.3:80"}, 200), ({"Host": "rebound.example"}, 403), ({"Host": "192.168.1.7"}, 403),
                ({"Host": "localhost.rebound.example"}, 403), ({"Host": "[::1"}, 403), ({"Host": "localhost:x"}, 403),
                ({"Host": ""}, 403), ({"Origin": "http://rebound.example"}, 403), ({"Origin": "null"}, 403), ({"Origin": ""}, 403),
                ({"Origin": "http://127.0.0.1:1"}, 403), ({"Sec-Fetch-Site": "cross-site"}, 403),
                ({"Sec-Fetch-Site": "same-site"}, 403), ({"Sec-Fetch-Site": "none"}, 200)):
            with self.subTest(headers):
                self.assertEqual(status, self.ask("POST", "/api/v1/check", ARBOR, headers).status)

    def test_forms_cannot_send_jobs(self):
        for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "", "application/json"):
            self.assertEqual(["wrong-type"], self.ask("POST", "/api/v1/check", ARBOR, {"Content-Type": kind}, 415).codes())
        self.ask("POST", "/api/v1/check", ARBOR, {"Content-Type": "Application/TOML; charset=utf-8"}, 200)
        self.ask("POST", "/api/v1/check", gzip.compress(ARBOR.encode()), {"Content-Encoding": "gzip"}, 415)

    def test_a_connection_serves_one_request_after_another(self):
        connection = self.server.connect()
        for i in range(50):
            self.ask("POST", "/api/v1/check", ARBOR, status=200, connection=connection)
            self.ask("POST", "/api/v1/plan", WRONG, status=400, connection=connection)
        connection.close()


class HostileBytes(ServerTest):
    """What no client would send: the ends of requests made unclear, floods, and bytes that are no HTTP."""

    NEXT = b"GET /api/v1/yards HTTP/1.1\r\nHost: localhost\r\n\r\n"

    def answers(self, data):
        answer = self.server.raw(data)
        return [part.split(b" ")[0] for part in answer.split(b"HTTP/1.1 ")[1:]]

    def test_a_body_is_never_taken_for_the_next_request(self):
        head = b"Host: localhost\r\nContent-Type: %s\r\nContent-Length: %d\r\n\r\n"
        for first, kind, status in ((b"GET /healthz", b"text/plain", b"400"), (b"POST /nowhere", b"text/plain", b"404"),
                                    (b"POST /api/v1/plan", b"text/plain", b"415"), (b"DELETE /api/v1/jobs/x", b"x", b"400"),
                                    (b"GET /api/v1/yards", b"x", b"400"), (b"PUT /", b"text/plain", b"405"),
                                    (b"OPTIONS /", b"x", b"400")):
            with self.subTest(first):
                request = first + b" HTTP/1.1\r\n" + head % (kind, len(self.NEXT)) + self.NEXT + self.NEXT
                self.assertEqual([status], self.answers(request))

    def test_two_lengths_are_none(self):
        body = self.NEXT
        for headers in (b"Content-Length: 5\r\nTransfer-Encoding: chunked\r\n", b"Content-Length: 0\r\nContent-Length: 50\r\n",
                        b"Transfer-Encoding: chunked\r\nContent-Length: 0\r\n"):
            with self.subTest(headers):
                request = (b"POST /api/v1/plan HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/toml\r\n" + headers +
                           b"\r\n" + body + body)
                self.assertEqual([b"400"], self.answers(request))

    def test_floods_end(self):
        start = b"POST /api/v1/plan HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/toml\r\n"
        for name, flood, statuses in (
                ("headers", b"GET / HTTP/1.1\r\n" + b"".join(b"X-%d: %s\r\n" % (i, b"y" * 1000) for i in range(3000)),
                 {b"400", b"431"}),
                ("one header", b"GET / HTTP/1.1\r\nX: " + b"y" * 3_000_000, {b"400", b"431"}),
                ("an address", b"GET /" + b"y" * 3_000_000, {b"400", b"414", b"431"}),
                ("chunks", start + b"Transfer-Encoding: chunked\r\n\r\n" + (b"1000\r\n" + b"#" * 4096 + b"\r\n") * 800,
                 {b"413", b"400"}),
                ("a chunk", start + b"Transfer-Encoding: chunked\r\n\r\nfffffffffffffff\r\n" + b"#" * 3_000_000,
                 {b"413", b"400"}),
                ("a length", start + b"Content-Length: 99999999999999999999\r\n\r\n" + b"#" * 3_000_000, {b"413", b"400"})):
            with self.subTest(name):
                began = time.monotonic()
                answers = self.answers(flood)
                self.assertLessEqual(len(answers), 1)
                self.assertLessEqual(set(answers), statuses)
                self.assertLess(time.monotonic() - began, 20)
        self.assertEqual(200, self.ask("GET", "/healthz").status)

    def test_a_chunked_job_is_a_job(self):
        text = ARBOR.encode()
        chunks = b"".join(b"%x\r\n%s\r\n" % (len(text[i:i + 100]), text[i:i + 100]) for i in range(0, len(text), 100))
        answer = self.server.raw(b"POST /api/v1/check HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/toml\r\n"
                                 b"Connection: close\r\nTransfer-Encoding: chunked\r\n\r\n" + chunks + b"0\r\n\r\n")
        self.assertIn(b'"ok":true', answer)

    def test_no_http_is_told_so(self):
        for noise in (b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03", b"\0" * 5000, b"hello\r\n\r\n", b"GET\r\n\r\n",
                      b"GET / HTTP/9.9\r\nHost: localhost\r\n\r\n", b"\r\n\r\n\r\n", bytes(range(256)) * 100):
            with self.subTest(noise[:20]):
                self.assertLessEqual(set(self.answers(noise)), {b"400", b"414", b"431", b"505"})
        self.assertEqual(200, self.ask("GET", "/healthz").status)

    def test_one_who_sends_slowly_does_not_keep_others_waiting(self):
        links = [socket.create_connection(("127.0.0.1", self.server.port)) for _ in range(100)]
        try:
            for link in links:
                link.sendall(b"GET / HTTP/1.1\r\nHost: local")
            began = time.monotonic()
            self.ask("GET", "/healthz", status=200)
            self.assertLess(time.monotonic() - began, 2)
        finally:
            for link in links:
                link.close()

    def test_jobs_of_any_size_and_nesting_are_answered(self):
        many = 'format = 1\n[timber]\ncatalogue = "harrow-lane"\n' + "".join(
            f'[[structure]]\nname = "a{i}"\npattern = "arbor"\n[structure.choices]\nopening = 1300\n' for i in range(2000))
        self.assertEqual(["too-large"], self.ask("POST", "/api/v1/plan", many, status=400).codes())
        self.assertIn("too-large", self.ask("POST", "/api/v1/check", many).codes())
        for text in ("[" * 200_000, "a = " + "{b=" * 60_000, "x" * 262_144, "\0" * 1000, "\xff\xfe", '"' * 100_001,
                     "a.b." * 60_000, "a = " + "9" * 200_000, ""):
            self.ask("POST", "/api/v1/plan", text, status=400)
        self.ask("POST", "/api/v1/plan", b"\xff\xfe\x00" * 1000, status=400)
        self.ask("POST", "/api/v1/plan?name=" + "%ff%00%22%3c" * 100, "x", status=400)
        self.ask("POST", "/api/v1/plan", "x" * 262_145, status=413)


# ---- smuggling --------------------------------------------------------------------------------------------------------

class Smuggling(ProgramTest):
    """What a page of another site can have a browser send, and what a proxy may see otherwise: whatever the first request
    is, the request in its body is never answered, and the job file stays as it is."""

    @classmethod
    def setUpClass(cls):
        import tempfile
        cls.jobs = tempfile.TemporaryDirectory(prefix="garthwright_")
        cls.mine = Path(cls.jobs.name) / "mine.toml"
        cls.server = Server("--jobs-dir", cls.jobs.name)
        cls.here = f"Host: 127.0.0.1:{cls.server.port}\r\n"
        cls.inner = (f"PUT /api/v1/jobs/mine HTTP/1.1\r\n{cls.here}Content-Type: application/toml\r\nIf-Match: *\r\n"
                     "Content-Length: 9\r\n\r\nx = 'bad'")

    @classmethod
    def tearDownClass(cls):
        ended = cls.server.end()
        cls.jobs.cleanup()
        assert ended == (0, ""), ended

    def held(self, name, data, answers=1):
        with self.subTest(name):
            self.mine.write_text(ARBOR, encoding="utf-8")
            began = time.monotonic()
            got = self.server.raw(data if isinstance(data, bytes) else data.encode("latin-1"))
            self.assertLess(time.monotonic() - began, 25)
            self.assertEqual(ARBOR, self.mine.read_text(encoding="utf-8"), "the job file was overwritten")
            final = [part for part in got.split(b"HTTP/1.1 ")[1:] if not part.startswith(b"100")]
            self.assertLessEqual(len(final), answers, got[:600])
            for part in final:
                self.assertIn(part[:1], b"45", got[:600])
            return final

    def test_a_refused_body_is_never_a_request(self):
        inner, here = self.inner, self.here
        foreign = "Origin: http://elsewhere.example\r\nContent-Type: text/plain;charset=UTF-8\r\n"
        length = f"Content-Length: {len(inner)}\r\n"
        plain = "POST / HTTP/1.1\r\n" + here + foreign
        toml = "POST /api/v1/check HTTP/1.1\r\n" + here + "Content-Type: application/toml\r\n"
        chunk = f"{len(inner):x}\r\n{inner}\r\n0\r\n\r\n"
        forms = {
            "an address too long": f"POST /{'a' * 9000} HTTP/1.1\r\n{here}{foreign}{length}\r\n{inner}",
            "a query too long": f"POST /?{'a' * 9000} HTTP/1.1\r\n{here}{foreign}{length}\r\n{inner}",
            "a part that is not there": f"{plain}Range: bytes=9-1\r\n{length}\r\n{inner}",
            "a part that is none": f"{plain}Range: x\r\n{length}\r\n{inner}",
            "many parts": f"{plain}Range: bytes={'0-1,' * 800}0-1\r\n{length}\r\n{inner}",
            "a field too long": f"{plain}Accept-Language: {'a' * 9000}\r\n{length}\r\n{inner}",
            "a name too long": f"{plain}{'X' * 9000}: a\r\n{length}\r\n{inner}",
            "a field without a colon": f"{plain}nothing\r\n{length}\r\n{inner}",
            "a version to come": f"POST / HTTP/1.2\r\n{here}{foreign}{length}\r\n{inner}",
            "no version": f"POST /\r\n{here}{foreign}{length}\r\n{inner}",
            "a method of two words": f"POST IT / HTTP/1.1\r\n{here}{foreign}{length}\r\n{inner}",
            "a method of none": f"@ / HTTP/1.1\r\n{here}{foreign}{length}\r\n{inner}",
            "no path": f"POST * HTTP/1.1\r\n{here}{foreign}{length}\r\n{inner}",
            "a path elsewhere": f"POST http://elsewhere.example/ HTTP/1.1\r\n{here}{length}\r\n{inner}",
            "another host": f"POST / HTTP/1.1\r\nHost: elsewhere.example\r\n{length}\r\n{inner}",
            "another origin": f"{plain}{length}\r\n{inner}",
            "two hosts": f"{toml}Host: elsewhere.example\r\n{length}\r\n{inner}",
            "two lengths": f"{toml}Content-Length: 0\r\n{length}\r\n{inner}",
            "two lengths in one": f"{toml}Content-Length: 0, {len(inner)}\r\n\r\n{inner}",
            "a length with a sign": f"{toml}Content-Length: +0\r\n\r\n{inner}",
            "a length in hex": f"{toml}Content-Length: 0x0\r\n\r\n{inner}",
            "no length at all": f"{toml}Content-Length:\r\n\r\n{inner}",
            "a length below nothing": f"{toml}Content-Length: -1\r\n\r\n{inner}",
            "a length and chunks": f"{toml}Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n{inner}",
            "chunks and a length": f"{toml}Transfer-Encoding: chunked\r\nContent-Length: {len(chunk)}\r\n\r\n{chunk}",
            "chunks of another kind": f"{toml}Transfer-Encoding: xchunked\r\n{length}\r\n{inner}",
            "chunks that are not last": f"{toml}Transfer-Encoding: chunked, identity\r\n\r\n{inner}",
            "no chunks": f"{toml}Transfer-Encoding: identity\r\n\r\n{inner}",
            "chunks before a colon": f"{toml}Transfer-Encoding : chunked\r\n\r\n0\r\n\r\n{inner}",
            "chunks over two lines": f"{toml}Transfer-Encoding:\r\n chunked\r\n{length}\r\n{inner}",
            "a folded field": f"{toml}X: a\r\n b\r\n{length}\r\n{inner}",
            "chunks of old": f"POST / HTTP/1.0\r\n{here}Connection: keep-alive\r\nTransfer-Encoding: chunked\r\n\r\n{chunk}",
            "a chunk too large": f"{toml}Transfer-Encoding: chunked\r\n\r\nffffffffffffffff1\r\n{inner}",
            "a chunk below nothing": f"{toml}Transfer-Encoding: chunked\r\n\r\n-1\r\n{inner}",
            "a chunk of no figures": f"{toml}Transfer-Encoding: chunked\r\n\r\nx\r\n{inner}",
            "a chunk in 0x": f"{toml}Transfer-Encoding: chunked\r\n\r\n0x0\r\n\r\n{inner}",
            "a chunk too short": f"{toml}Transfer-Encoding: chunked\r\n\r\n1\r\nab\r\n{inner}",
            "chunks ended by a trailer": f"{toml}Transfer-Encoding: chunked\r\n\r\n0\r\nHost: localhost\r\n\r\n{inner}",
            "chunks with bare line ends": f"{toml}Transfer-Encoding: chunked\r\n\r\n0\n\n{inner}",
            "bare line ends": f"POST / HTTP/1.1\n{here.replace(chr(13), '')}{length.replace(chr(13), '')}\n{inner}",
            "a bare return": f"{toml}X: a\rb\r\n{length}\r\n{inner}",
            "a byte of nothing": f"{toml}X: a\0b\r\n{length}\r\n{inner}",
            "blank lines": f"\r\n\r\n\r\n{plain}{length}\r\n{inner}",
            "a body that is waited for": f"{plain}Expect: 100-continue\r\n{length}\r\n{inner}",
            "more that is expected": f"{toml}Expect: 200-ok\r\n{length}\r\n{inner}",
            "another protocol": f"{plain}Connection: Upgrade\r\nUpgrade: h2c\r\n{length}\r\n{inner}",
            "a body too large": f"{toml}Content-Length: 99999999\r\n\r\n{inner}",
            "the wrong type": f"POST /api/v1/check HTTP/1.1\r\n{here}Content-Type: text/plain\r\n{length}\r\n{inner}",
            "no such thing": f"POST /nowhere HTTP/1.1\r\n{here}{length}\r\n{inner}",
            "20,000 fields": plain + "A: b\r\n" * 20_000 + f"{length}\r\n{inner}",
            **{f"{method} with a body": f"{method} / HTTP/1.1\r\n{here}{length}\r\n{inner}"
               for method in ("GET", "HEAD", "OPTIONS", "TRACE", "DELETE", "CONNECT", "PATCH")},
        }
        self.assertGreaterEqual(len(forms), 50)
        for name, data in forms.items():
            self.held(name, data)

    def test_each_request_of_a_connection_is_looked_at_by_itself(self):
        good = f"GET /healthz HTTP/1.1\r\n{self.here}\r\n"
        for name, second in (("another host", self.inner.replace(self.here, "Host: elsewhere.example\r\n")),
                             ("no host", self.inner.replace(self.here, "")),
                             ("another origin", self.inner.replace("If-Match", "Origin: null\r\nIf-Match")),
                             ("another site", self.inner.replace("If-Match", "Sec-Fetch-Site: cross-site\r\nIf-Match"))):
            with self.subTest(name):
                self.mine.write_text(ARBOR, encoding="utf-8")
                got = self.server.raw((good + second).encode())
                self.assertEqual([b"200", b"403"], [part[:3] for part in got.split(b"HTTP/1.1 ")[1:]])
                self.assertEqual(ARBOR, self.mine.read_text(encoding="utf-8"))
        # The same request, sent openly, does write: what is held above is the guard's doing.
        got = self.server.raw((good + self.inner.replace("If-Match", "Connection: close\r\nIf-Match")).encode())
        self.assertEqual([b"200", b"204"], [part[:3] for part in got.split(b"HTTP/1.1 ")[1:]])
        self.assertEqual("x = 'bad'", self.mine.read_text(encoding="utf-8"))

    def test_blank_lines_get_one_answer(self):
        self.assertEqual(1, len(self.held("10 kB of them", b"\r\n" * 5000)))
        self.assertEqual(1, len(self.held("bare ones", b"\n" * 10_000)))

    def test_a_waiting_client_is_told_to_go_on_only_when_its_body_is_wanted(self):
        head = (f"POST /api/v1/check HTTP/1.1\r\n{self.here}Content-Type: %s\r\nExpect: 100-continue\r\n"
                f"Connection: close\r\nContent-Length: {len(ARBOR.encode())}\r\n\r\n")
        with socket.create_connection(("127.0.0.1", self.server.port), timeout=30) as link:
            link.sendall((head % "application/toml").encode())
            self.assertEqual(b"HTTP/1.1 100 Continue\r\n\r\n", link.recv(1000))
            link.sendall(ARBOR.encode())
            answer = b""
            while part := link.recv(65536):
                answer += part
            self.assertTrue(answer.startswith(b"HTTP/1.1 200"), answer[:200])
        with socket.create_connection(("127.0.0.1", self.server.port), timeout=30) as link:
            link.sendall((head % "text/plain").encode())
            self.assertTrue(link.recv(1000).startswith(b"HTTP/1.1 415"))


class Stalled(ServerTest):
    def stalled(self, count, data):
        links = [socket.create_connection(("127.0.0.1", self.server.port)) for _ in range(count)]
        for link in links:
            self.addCleanup(link.close)
            link.sendall(data)
        return links

    def test_140_stalled_connections_make_nobody_wait(self):
        head = b"POST /api/v1/check HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/toml\r\n"
        for what, data in (("nothing", b""), ("half a head", b"GET / HTTP/1.1\r\nHost: local"),
                           ("half a body", head + b"Content-Length: 1000\r\n\r\nformat"),
                           ("half a chunk", head + b"Transfer-Encoding: chunked\r\n\r\n400\r\nformat")):
            with self.subTest(what):
                self.stalled(140, data)
                for path in ("/healthz", "/", "/api/v1/yards"):
                    began = time.monotonic()
                    self.ask("GET", path, status=200)
                    self.assertLess(time.monotonic() - began, 2)
        with open(f"/proc/{self.server.process.pid}/status", encoding="ascii") as file:
            threads = next(int(line.split()[1]) for line in file if line.startswith("Threads:"))
        self.assertLess(threads, 80)  # a stalled connection has none of its own

    def test_one_who_takes_no_answer_makes_nobody_wait(self):
        self.stalled(140, b"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n" * 200)
        began = time.monotonic()
        self.ask("GET", "/healthz", status=200)
        self.assertLess(time.monotonic() - began, 2)

    def test_more_than_may_be_held_push_out_those_that_wait_longest(self):
        first = self.stalled(1, b"GET / HTTP/1.1\r\nHost: local")[0]
        self.stalled(600, b"GET / HT")
        self.ask("GET", "/healthz", status=200)
        first.settimeout(5)
        try:
            self.assertEqual(b"", first.recv(100))
        except ConnectionResetError:
            pass
        self.assertLess(len(os.listdir(f"/proc/{self.server.process.pid}/fd")), 400)

    def test_a_request_that_never_comes_whole_ends(self):
        link = self.stalled(1, b"GET / HTTP/1.1\r\n")[0]
        link.settimeout(20)
        answer = link.recv(1000)
        self.assertTrue(answer.startswith(b"HTTP/1.1 408"), answer)

    def test_drops_do_not_keep_a_head_open(self):
        link = self.stalled(1, b"GET / HTTP/1.1\r\n")[0]
        began, answer = time.monotonic(), b""
        link.settimeout(0.5)
        while not answer and time.monotonic() - began < 20:  # a byte now and then
            try:
                link.sendall(b"X")
                answer = link.recv(1000)
            except TimeoutError:
                pass
        self.assertTrue(answer.startswith(b"HTTP/1.1 408"), answer)
        self.assertLess(time.monotonic() - began, 13)


# ---- limits -----------------------------------------------------------------------------------------------------------

class Limited(ServerTest):
    words = ("--threads", 1, "--limit-s", 100)

    def post_and_leave(self):
        link = socket.create_connection(("127.0.0.1", self.server.port))
        body = SLOW.encode()
        link.sendall(b"POST /api/v1/thrift HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/toml\r\n"
                     b"Content-Length: %d\r\n\r\n" % len(body) + body)
        return link

    def test_work_whose_client_left_is_stopped(self):
        link = self.post_and_leave()
        time.sleep(0.5)
        waiting = self.server.connect(timeout=60)
        # One computation at a time: this waits behind it.
        waiting.request("POST", "/api/v1/check", ARBOR.replace("1350", "1377").encode(), TOML)
        waiting.sock.settimeout(1.0)
        with self.assertRaises(TimeoutError, msg="the slow question is not slow: choose a slower one"):
            waiting.getresponse()
        waiting.close()
        left = time.monotonic()
        link.close()
        self.ask("POST", "/api/v1/check", ARBOR.replace("1350", "1378"), status=200)
        self.assertLess(time.monotonic() - left, 10)

    def test_more_than_may_wait_are_told_to_come_back(self):
        links = [self.post_and_leave() for _ in range(34)]  # one that runs, 32 that wait
        try:
            deadline = time.monotonic() + 20
            reply = None
            while (reply is None or reply.status != 503) and time.monotonic() < deadline:
                # Before all the others have come in there may be a place to wait for: then leave, and ask again.
                asking = self.server.connect(timeout=1)
                try:
                    reply = self.ask("POST", "/api/v1/check",
                                     ARBOR.replace("1350", str(1400 + int(time.monotonic() * 7) % 99)), connection=asking)
                except TimeoutError:
                    pass
                finally:
                    asking.close()
            self.assertIsNotNone(reply, "no place was ever missing")
            self.assertEqual(503, reply.status)
            self.assertEqual("1", reply.headers["Retry-After"])
            self.assertEqual([], faults("POST", "/api/v1/check", reply)[0])
            self.assertEqual(200, self.ask("GET", "/healthz").status)  # not a computation
        finally:
            for link in links:
                link.close()
        # Those that waited are seen to have left within moments; until then the answer is to come back.
        while (reply := self.ask("POST", "/api/v1/check", ARBOR.replace("1350", "1379"))).status == 503:
            self.assertLess(time.monotonic(), deadline + 20)
            time.sleep(0.2)
        self.assertEqual(200, reply.status)


class TimeLimited(ServerTest):
    words = ("--limit-s", 0.3)

    def test_what_takes_too_long_is_stopped_and_said(self):
        reply = self.ask("POST", "/api/v1/thrift", SLOW, status=504)
        self.assertEqual(["too-long"], reply.codes())
        self.assertEqual([], faults("POST", "/api/v1/thrift", reply)[0])

    def test_the_limit_holds_to_within_a_second_and_what_is_ready_is_handed_out(self):
        """Within the allowed range, and a minute of checks: pieces and price come in time, and the rest is said to be missing."""
        server = Server("--limit-s", 8)
        try:
            for path, missing in (("/api/v1/plan", {"checks", "stands"}), ("/api/v1/quick", {"checks", "stands", "order"})):
                began = time.monotonic()
                reply = server.ask("POST", path, WIDE)
                self.assertLess(time.monotonic() - began, 9)
                self.assertEqual(200, reply.status, reply.body[:500])
                self.assertEqual([], faults("POST", path, reply)[0])
                self.assertEqual(("no-store", None), (reply.headers["Cache-Control"], reply.headers["ETag"]))
                answer = reply.json()
                left_out = set(answer.get("summary", answer)["left_out"])
                self.assertLessEqual(missing, left_out)
                said = [one for one in answer["diagnostics"] if one["code"] == "not-in-time"]
                self.assertRegex(said[0]["what"], r"checks .* were not worked out in the time there was: \d+ pieces in \d+ joints")
                self.assertGreater(len(answer["pieces"]), 5)
                self.assertGreater(answer["summary"]["price_minor"] if "summary" in answer else answer["purchase"]["total_minor"], 0)
            # What is kept is whole: not in time, it is refused, and the words say what was too much.
            reply = server.ask("POST", "/api/v1/sheets", WIDE)
            self.assertEqual((504, "too-long"), (reply.status, reply.codes()[0]))
            self.assertIn("pieces in", reply.json()["diagnostics"][0]["what"])
            # Nothing goes on behind it.
            began = time.monotonic()
            self.assertEqual(200, server.ask("POST", "/api/v1/check", ARBOR).status)
            self.assertLess(time.monotonic() - began, 4)
        finally:
            began = time.monotonic()
            self.assertEqual((0, ""), server.end())
            self.assertLess(time.monotonic() - began, 2)

    def test_pieces_and_price_may_be_asked_first(self):
        server = Server()
        try:
            began = time.monotonic()
            first = server.ask("POST", "/api/v1/quick?checks=0", WIDE).json()
            self.assertLess(time.monotonic() - began, 10)
            self.assertEqual({"checks", "stands", "order"}, set(first["summary"]["left_out"]))
            self.assertEqual([], [one for one in first["diagnostics"] if one["code"] == "not-in-time"])
            ahead, whole = (server.ask("POST", path, ARBOR).json() for path in ("/api/v1/quick?checks=0", "/api/v1/quick"))
            self.assertEqual(ahead["pieces"], whole["pieces"])
            self.assertEqual(ahead["summary"]["price_minor"], whole["summary"]["price_minor"])
            self.assertEqual("attention", ahead["summary"]["worst_check"]["verdict"])
            self.assertEqual(["order", "stands"], sorted(whole["summary"]["left_out"]))
            self.assertEqual(["bad-parameter"], server.ask("POST", "/api/v1/quick?checks=2", ARBOR).codes())
        finally:
            server.end()

    def test_ten_thousand_structures_are_refused_at_once(self):
        many = ('format = 1\n[timber]\ncatalogue = "harrow-lane"\n' +
                '[[structure]]\npattern="fence"\n' * 9000)
        self.assertLess(len(many), 262_144 + 60_000)
        began = time.monotonic()
        reply = self.ask("POST", "/api/v1/plan", many[:262_000].rsplit("[[", 1)[0])
        self.assertLess(time.monotonic() - began, 1.5)
        self.assertIn(reply.status, (400, 504))


class Stopping(ProgramTest):
    def test_what_runs_is_finished_and_nothing_new_is_begun(self):
        server = Server("--threads", 1, "--limit-s", 100)
        try:
            slow = {}
            asking = threading.Thread(target=lambda: slow.update(
                reply=server.ask("POST", "/api/v1/thrift?choice=depth", SLOW)))
            kept = server.connect()
            server.ask("GET", "/healthz", connection=kept)
            asking.start()
            time.sleep(0.2)
            server.process.send_signal(signal.SIGTERM)
            health = server.ask("GET", "/healthz")
            while health.status == 200:  # the signal is on its way
                health = server.ask("GET", "/healthz")
            self.assertEqual((503, "draining"), (health.status, health.json()["state"]))
            self.assertEqual([], faults("GET", "/healthz", health)[0])
            refused = server.ask("POST", "/api/v1/check", ARBOR)
            self.assertEqual(503, refused.status)
            self.assertIn("Retry-After", refused.headers)
            asking.join(100)
            self.assertEqual(200, slow["reply"].status)
            self.assertEqual((0, ""), server.end())
        finally:
            server.end()

    def test_an_idle_server_ends_at_once_and_a_second_signal_ends_work(self):
        server = Server()
        with socket.create_connection(("127.0.0.1", server.port)):  # that asks nothing
            time.sleep(0.2)
            began = time.monotonic()
            self.assertEqual((0, ""), server.end(signal.SIGINT))
        self.assertLess(time.monotonic() - began, 5)
        server = Server("--threads", 1, "--limit-s", 100)
        asking = threading.Thread(target=lambda: server.ask("POST", "/api/v1/thrift", SLOW))
        asking.start()
        time.sleep(0.4)
        server.process.send_signal(signal.SIGTERM)
        time.sleep(0.2)
        began = time.monotonic()
        self.assertEqual((0, ""), server.end())
        self.assertLess(time.monotonic() - began, 20)
        asking.join(10)

    def test_a_fault_in_one_answer_is_told_and_the_server_goes_on(self):
        """Without its library of solids the program cannot make this file, which is nobody's mistake but the installation's."""
        import shutil
        bare = self.folder / "bin" / "garthwright"
        bare.parent.mkdir()
        shutil.copy(PROGRAM, bare)
        process = subprocess.Popen([bare, "serve", "--port", "0"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=self.folder,
                                   env={**os.environ, "GARTHWRIGHT_SHARE": str(ROOT)})
        self.addCleanup(process.kill)
        server = Server.__new__(Server)
        server.process, server.port = process, int(re.search(rb":(\d+)/", process.stdout.readline())[1])
        for _ in range(3):
            reply = server.ask("POST", "/api/v1/files/model.step", ARBOR)
            self.assertEqual(500, reply.status, reply.body[:300])
            time.sleep(0.5)  # whoever watches clients looks again
            self.assertEqual(200, server.ask("GET", "/healthz").status)
        began = time.monotonic()
        self.assertEqual(0, server.end()[0])
        self.assertLess(time.monotonic() - began, 20)

    def test_words_that_cannot_be_served(self):
        for words, status, said in ((("--host", "0.0.0.0"), 2, "[no-token]"), (("no-such.toml",), 2, "[unreadable]"),
                                    (("--jobs-dir", "/no/such"), 2, "[unreadable]"), (("--port", "70000"), 2, "port"),
                                    (("--host", "192.0.2.1", "--token", "x"), 3, "[no-port]"),
                                    (("examples/arbor.toml", "examples/arbor.toml"), 2, "[same-name]")):
            with self.subTest(words):
                self.assertIn(said, self.assert_status(run("serve", *words), status).stderr)
        server = Server()
        taken = run("serve", "--port", server.port)
        self.assertIn("[no-port]", self.assert_status(taken, 3).stderr)
        server.end()


# ---- beyond loopback --------------------------------------------------------------------------------------------------

class WithToken(ServerTest):
    words = ("--host", "0.0.0.0", "--token", "a-secret", "--known-as", "Garden.Example,other")

    def test_only_those_who_know_it_are_answered(self):
        for headers, status in (({}, 401), ({"Authorization": "Bearer wrong"}, 401), ({"Authorization": "Bearer "}, 401),
                                ({"Authorization": "Basic a-secret"}, 401), ({"Cookie": "garthwright=a-secret"}, 401),
                                ({"Cookie": f"garthwright-{self.server.port}=a-secret"}, 401),
                                ({"Authorization": "Bearer a-secret"}, 200),
                                ({"Authorization": "Bearer a-secret", "Host": "garden.example"}, 200),
                                ({"Authorization": "Bearer a-secret", "Host": "192.0.2.7:8080"}, 200),
                                ({"Authorization": "Bearer a-secret", "Host": "rebound.example"}, 403)):
            with self.subTest(headers):
                for method, path, body in (("GET", "/api/v1/yards", None), ("POST", "/api/v1/check", ARBOR), ("GET", "/", None)):
                    reply = self.ask(method, path, body, headers, status)
                    if status == 401:
                        self.assertEqual("Bearer", reply.headers["WWW-Authenticate"])
                        if path != "/":
                            self.assertEqual(["no-token"], reply.codes())
        self.ask("GET", "/healthz", status=200)

    def test_a_person_without_it_is_told_what_to_do(self):
        browser = {"Accept": "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"}
        for path, headers in (("/", browser), ("/", {}), ("/?token=wrong", browser), ("/api/v1/openapi.json", browser)):
            with self.subTest(f"{path} {headers}"):
                reply = self.ask("GET", path, headers=headers, status=401)
                self.assertEqual("text/html; charset=utf-8", reply.headers["Content-Type"])
                self.assertIn(b"<h1>This planner opens with its token</h1>", reply.body)
                self.assertIn(b"?token=", reply.body)
                self.assertNotIn(b"a-secret", reply.body)
        for path, headers in (("/api/v1/yards", {}), ("/api/v1/yards", {"Accept": "*/*"}), ("/", {"Accept": "application/json"})):
            self.assertEqual(["no-token"], self.ask("GET", path, headers=headers, status=401).codes())

    def test_a_browser_brings_it_once_and_keeps_a_session(self):
        self.ask("GET", "/?token=wrong", status=401)
        self.ask("GET", "/?token=a-secret", headers={"Host": "rebound.example"}, status=403)
        first, second = (self.ask("GET", "/?token=a-secret", status=303) for _ in range(2))
        self.assertEqual("/", first.headers["Location"])
        cookie, *words = first.headers["Set-Cookie"].split("; ")
        name, value = cookie.split("=")
        self.assertEqual(f"garthwright-{self.server.port}", name)
        self.assertEqual({"HttpOnly", "SameSite=Strict", "Path=/"}, set(words))
        self.assertNotIn("a-secret", first.headers["Set-Cookie"])
        self.assertNotEqual(first.headers["Set-Cookie"], second.headers["Set-Cookie"])
        for path in ("/", "/api/v1/yards"):
            self.ask("GET", path, headers={"Cookie": f"x=1; {cookie}; y=2"}, status=200)
            for wrong in (f"{name}={value[:-1]}", f"{name}={value}0", f"{name}={'0' * len(value)}", f"{name}=", f"other={value}",
                          f"garthwright-1={value}"):
                self.ask("GET", path, headers={"Cookie": wrong}, status=401)
        # A session is no token, and one of this port's is none on another.
        self.ask("GET", "/", headers={"Authorization": f"Bearer {value}"}, status=401)
        self.ask("GET", "/", headers={"Host": "garden.example:81", "Cookie": f"garthwright-81={value}"}, status=401)

    def test_two_servers_of_one_host_do_not_share_it(self):
        other = Server("--host", "0.0.0.0", "--token", "another")
        try:
            cookies = [(s.ask("GET", f"/?token={t}").headers["Set-Cookie"]).split("; ")[0]
                       for s, t in ((self.server, "a-secret"), (other, "another"))]
            both = {"Cookie": "; ".join(cookies)}
            self.ask("GET", "/", headers=both, status=200)
            self.assertEqual(200, other.ask("GET", "/", headers=both).status)
            self.assertEqual(401, other.ask("GET", "/", headers={"Cookie": cookies[0]}).status)
        finally:
            other.end()


# ---- job files --------------------------------------------------------------------------------------------------------

class JobFiles(ProgramTest):
    def setUp(self):
        super().setUp()
        self.inside, self.outside = self.folder / "jobs", self.folder / "outside"
        self.inside.mkdir()
        self.outside.mkdir()
        (self.outside / "secret.toml").write_text('title = "secret"', encoding="utf-8")
        (self.inside / "link.toml").symlink_to(self.outside / "secret.toml")
        (self.inside / "plain.toml").write_text(ARBOR, encoding="utf-8")
        os.mkfifo(self.inside / "pipe.toml")
        (self.folder / "named.toml").write_text(WRONG, encoding="utf-8")
        self.server = Server(self.folder / "named.toml", "--jobs-dir", self.inside)
        self.addCleanup(self.server.end)

    def test_they_are_listed_read_and_saved(self):
        listed = self.server.ask("GET", "/api/v1/jobs").json()
        self.assertEqual([("named", "Test arbor"), ("plain", "Orchard arbor")], [(one["name"], one["title"]) for one in listed])
        reply = self.server.ask("GET", "/api/v1/jobs/plain", headers={"Accept-Encoding": "gzip"})
        self.assertEqual(ARBOR.encode(), reply.body)
        self.assertEqual(listed[1]["etag"], reply.headers["ETag"])
        changed = ARBOR.replace("1350", "1360")
        saved = self.server.ask("PUT", "/api/v1/jobs/plain", changed, {"If-Match": reply.headers["ETag"]})
        self.assertEqual(204, saved.status)
        self.assertEqual(changed, (self.inside / "plain.toml").read_text(encoding="utf-8"))
        # Another tab still holds the text as it was.
        late = self.server.ask("PUT", "/api/v1/jobs/plain", ARBOR, {"If-Match": reply.headers["ETag"]})
        self.assertEqual((412, ["changed"]), (late.status, late.codes()))
        self.assertEqual(saved.headers["ETag"], self.server.ask("GET", "/api/v1/jobs/plain").headers["ETag"])
        made = self.server.ask("PUT", "/api/v1/jobs/second", ARBOR, {"If-None-Match": "*"})
        self.assertEqual(201, made.status)
        self.assertEqual(ARBOR, (self.inside / "second.toml").read_text(encoding="utf-8"))
        named = self.server.ask("PUT", "/api/v1/jobs/named", ARBOR, {"If-Match": listed[0]["etag"]})
        self.assertEqual(204, named.status)
        self.assertEqual(ARBOR, (self.folder / "named.toml").read_text(encoding="utf-8"))
        self.assertEqual(["link.toml", "pipe.toml", "plain.toml", "second.toml"], sorted(os.listdir(self.inside)))

    def test_nothing_outside_is_reached(self):
        for name in ("link", "pipe", "secret", "..%2foutside%2fsecret", "../outside/secret", "%2e%2e%2foutside%2fsecret",
                     "plain.toml", "plain%00", ".", "..", "a" * 200, "outside/secret"):
            with self.subTest(name):
                self.assertEqual(404, self.server.ask("GET", "/api/v1/jobs/" + name).status)
                for headers in ({"If-Match": "*"}, {"If-None-Match": "*"}):
                    if name == "secret" and "If-None-Match" in headers:
                        continue  # a good name for a new file
                    reply = self.server.ask("PUT", "/api/v1/jobs/" + name, "x = 1", headers)
                    self.assertIn(reply.status, (404, 412))
        self.assertEqual('title = "secret"', (self.outside / "secret.toml").read_text(encoding="utf-8"))

    def test_a_catalogue_beside_the_jobs_is_found_and_a_change_of_it_is_seen(self):
        catalogue = (ROOT / "catalogues" / "harrow-lane.toml").read_text(encoding="utf-8")
        job = ARBOR.replace("harrow-lane", "mine")
        self.assertEqual(["unknown-catalogue"], self.server.ask("POST", "/api/v1/plan", job).codes())
        (self.inside / "mine.toml").write_text(catalogue, encoding="utf-8")
        first = self.server.ask("POST", "/api/v1/plan", job)
        self.assertEqual(200, first.status)
        (self.inside / "mine.toml").write_text(catalogue.replace('currency = "EUR"', 'currency = "GBP"'), encoding="utf-8")
        self.assertEqual("GBP", self.server.ask("POST", "/api/v1/plan", job).json()["purchase"]["currency"])

    def test_without_a_folder_there_are_no_new_files(self):
        server = Server()
        reply = server.ask("PUT", "/api/v1/jobs/new", ARBOR, {"If-None-Match": "*"})
        self.assertEqual((404, ["no-folder"]), (reply.status, reply.codes()))
        server.end()


# ---- the manual -------------------------------------------------------------------------------------------------------

class TheManual(ProgramTest):
    def setUp(self):
        super().setUp()
        share, outside = self.folder / "share", self.folder / "outside.html"
        site = share / "manual"
        (site / "assets").mkdir(parents=True)
        for name in ("patterns", "catalogues"):
            (share / name).symlink_to(ROOT / name)
        (site / "index.html").write_text("<title>Manual</title>", encoding="utf-8")
        (site / "assets" / "main.css").write_text("p {}", encoding="utf-8")
        outside.write_text("secret", encoding="utf-8")
        (site / "link.html").symlink_to(outside)
        (site / "way").symlink_to(self.folder)
        os.mkfifo(site / "pipe.html")
        self.share = share

    def test_it_is_read_where_the_page_is(self):
        server = Server(GARTHWRIGHT_SHARE=str(self.share))
        self.addCleanup(server.end)
        for path in ("/manual/", "/manual/index.html"):
            reply = server.ask("GET", path)
            self.assertEqual((200, b"<title>Manual</title>"), (reply.status, reply.body))
            self.assertEqual("text/html; charset=utf-8", reply.headers["Content-Type"])
            self.assertEqual(1, len(reply.headers.get_all("Content-Security-Policy")))
            self.assertIn("script-src 'self' 'unsafe-inline'", reply.headers["Content-Security-Policy"])
            self.assertEqual(304, server.ask("GET", path, headers={"If-None-Match": reply.headers["ETag"]}).status)
            self.assertEqual(b"", server.ask("HEAD", path).body)
            self.assertEqual(405, server.ask("POST", path, ARBOR).status)
        self.assertEqual("text/css; charset=utf-8", server.ask("GET", "/manual/assets/main.css").headers["Content-Type"])
        self.assertNotIn("unsafe-inline", server.ask("GET", "/").headers["Content-Security-Policy"])
        for path in ("/manual", "/manual/assets", "/manual/assets/", "/manual/link.html", "/manual/way/outside.html", "/manual/pipe.html",
                     "/manual/../outside.html", "/manual/%2e%2e/outside.html", "/manual/assets/../index.html", "/manual//index.html",
                     "/manual/index.html%00", f"/manual/{self.folder}/outside.html", "/manual/other.html"):
            with self.subTest(path):
                self.assertEqual((404, ["not-found"]), ((reply := server.ask("GET", path)).status, reply.codes()))

    def test_without_one_a_person_is_told_where_it_comes_from(self):
        import shutil
        shutil.rmtree(self.share / "manual")
        server = Server(GARTHWRIGHT_SHARE=str(self.share))
        self.addCleanup(server.end)
        reply = server.ask("GET", "/manual/index.html")
        self.assertEqual((404, "text/html; charset=utf-8", "no-store"),
                         (reply.status, reply.headers["Content-Type"], reply.headers["Cache-Control"]))
        self.assertIn(b"./dev manual", reply.body)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1] + sys.argv[1:])
