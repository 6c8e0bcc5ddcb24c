# SPDX-License-Identifier: Apache-2.0
"""Volume of a piece of plan.json from its machining alone, in closed form, as docs/plan-file.md says: the area of its
side view by Green's theorem where everything is sawn straight through the thickness, boxes taken off for notches.
Knows nothing of the program."""
import math


def cubic_area(p0, p1, p2, p3):
    """½ ∮ (x dy − y dx) along a cubic Bézier stroke, exact."""

    def cross(a, b):
        return a[0] * b[1] - a[1] * b[0]

    return (6 * cross(p0, p1) + 3 * cross(p0, p2) + cross(p0, p3) + 3 * cross(p1, p2) + 3 * cross(p1, p3)
            + 6 * cross(p2, p3)) / 20


def line_area(a, b):
    return (a[0] * b[1] - a[1] * b[0]) / 2


def arc_area(a, b, centre, clockwise):
    start = math.atan2(a[1] - centre[1], a[0] - centre[0])
    sweep = math.atan2(b[1] - centre[1], b[0] - centre[0]) - start
    if clockwise and sweep >= 0:
        sweep -= 2 * math.pi
    if not clockwise and sweep <= 0:
        sweep += 2 * math.pi
    radius = math.hypot(a[0] - centre[0], a[1] - centre[1])
    # The triangle fan from the origin: the chord's share of the centre, and the sector's own area.
    return (centre[0] * (b[1] - a[1]) - centre[1] * (b[0] - a[0])) / 2 + radius * radius * sweep / 2


def path_of(piece, cut, end):
    """The end's sawn path as [(start, signed area of the path, finish)], running from low edge to high edge for the
    finish end and back for the start end; also its least and greatest x."""
    width, length = piece["width_mm"], piece["length_mm"]
    if cut is None:
        x = 0.0 if end == "start" else length
        points, area = [(x, 0.0), (x, width)], line_area((x, 0.0), (x, width))
    elif cut["kind"] == "end_cut":
        (nx, ny, nz), (px, py, _) = cut["normal"], cut["point_mm"]
        if abs(nz) > 1e-9 or abs(nx) < 1e-9:
            raise ValueError("a cut that is not straight through the thickness, across the length")
        points = [(px - ny / nx * (y - py), y) for y in (0.0, width)]
        area = line_area(*points)
    else:
        here = tuple(cut["start_mm"])
        points, area = [here], 0.0
        for stroke in cut["strokes"]:
            there = tuple(stroke["to_mm"])
            if stroke["kind"] == "line":
                area += line_area(here, there)
            elif stroke["kind"] == "arc":
                area += arc_area(here, there, stroke["centre_mm"], stroke["clockwise"])
            else:
                area += cubic_area(here, *map(tuple, stroke["handles_mm"]), there)
            here = there
            points.append(here)
        # A path may begin and end on an edge or on the end face; the end face closes it.
        end_x = 0.0 if end == "start" else length
        if points[0][1] > points[-1][1]:
            points, area = points[::-1], -area
        for corner, place in (((end_x, 0.0), 0), ((end_x, width), -1)):
            if abs(points[place][1] - corner[1]) > 1e-6:
                area += line_area(corner, points[0]) if place == 0 else line_area(points[-1], corner)
                points = [corner] + points if place == 0 else points + [corner]
    return points, area


def side_area(piece):
    cuts = {"start": [], "finish": []}
    for machining in piece["machining"]:
        if machining["kind"] in ("end_cut", "shaped_end"):
            cuts[machining["end"]].append(machining)
    if any(len(at) > 1 for at in cuts.values()):
        raise ValueError("two cuts at one end")
    start, start_area = path_of(piece, (cuts["start"] or [None])[0], "start")
    finish, finish_area = path_of(piece, (cuts["finish"] or [None])[0], "finish")
    # Round the outline anticlockwise: along the low edge, up the finish, back along the high edge, down the start.
    return line_area(start[0], finish[0]) + finish_area + line_area(finish[-1], start[-1]) - start_area


def notch_volume(piece, notch):
    limits = (piece["length_mm"], piece["width_mm"], piece["thickness_mm"])
    volume = 1.0
    for low, high, limit in zip(notch["from_mm"], notch["to_mm"], limits):
        volume *= max(0.0, min(high, limit) - max(low, 0.0))
    return volume


def segment_area(chord, rise):
    """Between an arc and its chord."""
    radius = chord**2 / (8 * rise) + rise / 2
    return radius**2 * math.acos((radius - rise) / radius) - (radius - rise) * chord / 2


def edge_area(cut):
    """What a bird's mouth or a hollow takes in the plane of the wide side."""
    long, deep = (high - low for low, high in list(zip(cut["from_mm"], cut["to_mm"]))[:2])
    return long * deep / 2 if cut["kind"] == "birds_mouth" else segment_area(long, deep)


def is_tilted(machining):
    return machining["kind"] == "end_cut" and abs(machining["normal"][2]) > 1e-9


def length_between_planes(piece):
    """Of a timber whose ends are planes, one of them tilted across the thickness too: a prism cut by two planes that each
    cross all its four edges has the volume of its section times its length along the section's middle."""
    along = {"start": 0.0, "finish": piece["length_mm"]}
    for machining in piece["machining"]:
        if machining["kind"] == "shaped_end":
            raise ValueError("a shaped end and a tilted cut on one piece")
        if machining["kind"] == "end_cut":
            (nx, ny, nz), (px, py, pz) = machining["normal"], machining["point_mm"]
            along[machining["end"]] = (
                px - (ny * (piece["width_mm"] / 2 - py) + nz * (piece["thickness_mm"] / 2 - pz)) / nx)
    return along["finish"] - along["start"]


def volume(piece):
    """mm³. Right where no machining meets another."""
    tilted = any(is_tilted(machining) for machining in piece["machining"])
    side = length_between_planes(piece) * piece["width_mm"] if tilted else side_area(piece)
    total = side * piece["thickness_mm"]
    for machining in piece["machining"]:
        if machining["kind"] in ("halving", "notch", "housing"):
            total -= notch_volume(piece, machining)
        elif machining["kind"] in ("birds_mouth", "hollow"):
            total -= edge_area(machining) * piece["thickness_mm"]
        elif machining["kind"] == "hole":
            total -= math.pi / 4 * machining["diameter_mm"] ** 2 * machining["depth_mm"]
    return total
