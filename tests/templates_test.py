#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The templates' files against the model. The DXF is read back and audited by python3-ezdxf, which had no part in
writing it; its cutting line is compared with the machining in plan.json, worked out here a second time. The SVG has to
have a real size in mm."""
import math
import re
import unittest
import xml.etree.ElementTree as ElementTree

import ezdxf

from program import EXAMPLES, ProgramTest, arbor_job, is_roofed, planned, run

WITHIN = 0.01  # mm
FREE = arbor_job('opening = 1350\nbeam_end = [[0, 1], [0.3, 1], [0.45, 0.8], [0.5, 0.5], [0.55, 0.2], [0.7, 0], [1, 0]]\n')


def along(shape):
    """Points on a shaped end of plan.json, a tenth of a millimetre or less apart."""
    here, points = shape["start_mm"], [tuple(shape["start_mm"])]
    for stroke in shape["strokes"]:
        to, count = stroke["to_mm"], 2000
        for i in range(1, count + 1):
            t = i / count
            if stroke["kind"] == "line":
                points.append(tuple(a + t * (b - a) for a, b in zip(here, to)))
            elif stroke["kind"] == "arc":
                cx, cy = stroke["centre_mm"]
                begin = math.atan2(here[1] - cy, here[0] - cx)
                turn = math.atan2(to[1] - cy, to[0] - cx) - begin
                if stroke["clockwise"] and turn >= 0:
                    turn -= 2 * math.pi
                if not stroke["clockwise"] and turn <= 0:
                    turn += 2 * math.pi
                radius = math.hypot(here[0] - cx, here[1] - cy)
                points.append((cx + radius * math.cos(begin + t * turn), cy + radius * math.sin(begin + t * turn)))
            else:
                c1, c2 = stroke["handles_mm"]
                points.append(tuple((1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t ** 2 * c + t ** 3 * d
                                    for a, b, c, d in zip(here, c1, c2, to)))
        here = to
    return points


def as_template(points, piece, end):
    """From piece coordinates to the file's: x from the tip, y up from the sawn edge."""
    if end == "finish":
        points = [(piece["length_mm"] - x, y) for x, y in points]
    sawn, tip = (points[0], points[-1]) if points[0][0] > points[-1][0] else (points[-1], points[0])
    return [(x, y if sawn[1] < tip[1] else piece["width_mm"] - y) for x, y in points]


def distance(p, a, b):
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = max(0.0, min(1.0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / ((dx * dx + dy * dy) or 1)))
    return math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)


def farthest(points, chain):
    """The greatest distance of the points from the chain; both run the same way, so the search goes on from the last."""
    return max(min(distance(p, a, b) for a, b in zip(chain, chain[1:])) for p in points)


class Templates(ProgramTest):
    def setUp(self):
        super().setUp()
        free = self.folder / "free.toml"
        free.write_text(FREE, encoding="utf-8")
        self.jobs = [*EXAMPLES, free]

    def planned(self, job):
        if job in EXAMPLES:
            return planned(job).json(), planned(job).out
        out = self.folder / f"out-{job.stem}"
        return self.plan(job, "--out", out), out

    def each(self):
        for job in self.jobs:
            plan, out = self.planned(job)
            pieces = {piece["mark"]: piece for piece in plan["pieces"]}
            for file in sorted((out / "templates").glob("*")):
                with self.subTest(job=job.stem, file=file.name):
                    mark, ends = file.stem.split("-")[:2]
                    yield file, pieces[mark], ends

    def test_every_shaped_end_has_its_files(self):
        for job in self.jobs:
            plan, out = self.planned(job)
            shaped = {p["mark"] for p in plan["pieces"] if any(m["kind"] == "shaped_end" for m in p["machining"])}
            self.assertTrue(shaped or not is_roofed(job), job.stem)  # others may end square
            for kind in (".dxf", ".svg"):
                self.assertEqual(shaped, {f.stem.split("-")[0] for f in (out / "templates").glob("*") if f.suffix == kind})

    def test_the_dxf_is_clean_and_cuts_where_the_model_says(self):
        seen = set()
        for file, piece, ends in self.each():
            if file.suffix != ".dxf":
                continue
            drawing = ezdxf.readfile(file)
            audit = drawing.audit()
            self.assertEqual(([], []), (audit.errors, audit.fixes))
            self.assertEqual(4, drawing.header["$INSUNITS"], "millimetres")
            cut = []
            for entity in drawing.modelspace().query('*[layer=="CUT"]'):
                seen.add(entity.dxftype())
                if entity.dxftype() == "LINE":
                    cut.append([entity.dxf.start, entity.dxf.end])
                elif entity.dxftype() == "ARC":
                    cut.append(list(entity.flattening(0.001)))
                else:
                    cut.append(list(entity.flattening(0.001)))
            for end in {"datum": ["start"], "far": ["finish"], "both": ["start", "finish"]}[ends]:
                shape = next(m for m in piece["machining"] if m["kind"] == "shaped_end" and m["end"] == end)
                model = as_template(along(shape), piece, end)
                # Every place of the model's path lies on some line of the drawing, and the drawing's lines lie on it.
                strays = max(min(distance(p, a, b) for run in cut for a, b in zip(run, run[1:])) for p in model[::20])
                self.assertLess(strays, WITHIN)
                down_the_nose = lambda p: abs(p[0]) < 1e-6
                for run in cut:
                    points = [p for p in run if not down_the_nose(p)]
                    if points:
                        self.assertLess(farthest(points[::3], model[::4] + model[-1:]), WITHIN)
            outlines = drawing.modelspace().query('LWPOLYLINE[layer=="TEMPLATE"]')
            self.assertEqual([True], [one.closed for one in outlines])
            for x, y in outlines[0].get_points("xy")[:-2]:  # all but the two corners at the end that stays whole
                self.assertLess(min(distance((x, y), a, b) for run in cut for a, b in zip(run, run[1:])), WITHIN)
            kinds = {entity.dxf.layer for entity in drawing.modelspace()}
            self.assertTrue({"CUT", "EDGES", "REFERENCE", "NOTES"} <= kinds, kinds)
        self.assertTrue({"LINE", "ARC", "SPLINE"} <= seen, f"the jobs try only {seen}")

    def test_the_svg_has_its_true_size(self):
        for file, piece, _ in self.each():
            if file.suffix != ".svg":
                continue
            root = ElementTree.parse(file).getroot()
            width, height = (float(re.fullmatch(r"([\d.]+)mm", root.get(k)).group(1)) for k in ("width", "height"))
            self.assertEqual([0, 0, width, height], [float(v) for v in root.get("viewBox").split()])
            self.assertGreater(height, piece["width_mm"])


if __name__ == "__main__":
    unittest.main()
