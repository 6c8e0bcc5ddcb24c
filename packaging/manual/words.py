# SPDX-License-Identifier: Apache-2.0
"""Draws the words of docs/words.md. Units are those of the picture; y points down."""
import math

FILL = {"wood": "#e3c08d", "other": "#c99a5b", "cut": "#fff3dd", "metal": "#8a939c", "ground": "#b9aa96"}


def box(x, y, width, height, kind="wood", turn=0.0):
    about = (x + width / 2, y + height / 2)
    return turned([(x, y), (x + width, y), (x + width, y + height), (x, y + height)], turn, about, kind)


def turned(points, degrees, about, kind="wood"):
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    moved = [(about[0] + (x - about[0]) * c - (y - about[1]) * s, about[1] + (x - about[0]) * s + (y - about[1]) * c) for x, y in points]
    return shape(moved, kind)


def shape(points, kind="wood"):
    return f'<polygon points="{" ".join(f"{x:.1f},{y:.1f}" for x, y in points)}" fill="{FILL[kind]}" stroke="#3b2c18"/>'


def says(x, y, text, to=None, anchor="start"):
    line = ""
    if to:
        from_x = x - 3 if anchor == "start" else x + 3 if anchor == "end" else x
        line = f'<line x1="{from_x}" y1="{y - 4}" x2="{to[0]}" y2="{to[1]}" stroke="#3b2c18" stroke-width="0.8"/>'
    return line + f'<text x="{x}" y="{y}" text-anchor="{anchor}">{text}</text>'


def screw(x, y, length):
    """Driven downwards from its head at x, y."""
    return (shape([(x - 5, y), (x + 5, y), (x + 2, y + 4), (x - 2, y + 4)], "metal") +
            shape([(x - 2, y + 4), (x + 2, y + 4), (x + 2, y + length - 5), (x, y + length), (x - 2, y + length - 5)], "metal"))


def frame():
    rafters = "".join(box(x, 22, 9, 16, "other") for x in (70, 110, 150, 190, 230, 270))
    return (box(30, 170, 300, 20, "ground") + box(80, 52, 16, 134) + box(244, 52, 16, 134) + box(50, 38, 240, 16) + rafters +
            box(96, 140, 148, 10) + shape([(96, 94), (96, 82), (124, 54), (136, 54)], "other") +
            shape([(244, 94), (244, 82), (216, 54), (204, 54)], "other") + says(300, 34, "rafter", (279, 30)) +
            says(300, 54, "beam", (290, 48)) + says(300, 90, "post", (260, 92)) + says(150, 90, "knee brace", (124, 66)) +
            says(150, 134, "rail", (144, 142)))


def housing():
    trench = shape([(40, 60), (150, 60), (150, 76), (190, 76), (190, 60), (300, 60), (300, 110), (40, 110)])
    return trench + box(150, 14, 40, 62, "other") + says(210, 40, "sits in the trench", (188, 50)) + says(210, 96, "housing", (186, 76))


def halving():
    return (shape([(30, 70), (150, 70), (150, 90), (190, 90), (190, 70), (310, 70), (310, 110), (30, 110)]) +
            shape([(150, 20), (190, 20), (190, 40), (150, 40)], "other") + box(150, 40, 40, 20, "cut") +
            says(205, 34, "the other, end on", (188, 30)) + says(205, 60, "half of it is gone", (188, 52)))


def notch():
    return (shape([(20, 40), (320, 40), (320, 80), (190, 80), (190, 62), (150, 62), (150, 80), (20, 80)]) +
            box(150, 62, 40, 70, "other") + says(210, 126, "beam, end on", (188, 118)) + says(60, 30, "rafter", (52, 42)) +
            says(210, 100, "notch", (188, 66)))


def birdsmouth():
    # A rafter that rises 3 in 10 to the right; seat level, heel plumb on the wall plate's left face.
    rise = 0.3
    under = lambda x: 140 - rise * (x - 30)
    left, right = 150, 190
    seat = under(left) - rise * (right - left)
    rafter = [(30, under(30)), (left, under(left)), (left, seat), (right, seat), (320, under(320)), (320, under(320) - 40), (30, under(30) - 40)]
    return (shape(rafter) + box(left, seat, 40, 158 - seat, "other") + says(210, 152, "plate", (188, 146)) +
            says(210, 132, "level cut: the seat", (180, seat + 1)) + says(60, 154, "plumb cut", (left, (seat + under(left)) / 2)))


def mitre():
    return (shape([(60, 30), (220, 30), (190, 60), (60, 60)]) + shape([(220, 30), (220, 150), (190, 150), (190, 60)], "other") +
            says(236, 70, "each cut at 45°", (207, 45)))


def butt():
    return (box(40, 50, 120, 36) + box(160, 20, 30, 110, "other") + f'<g transform="rotate(90 191 60)">{screw(191, 60, 70)}</g>' +
            f'<g transform="rotate(90 191 76)">{screw(191, 76, 70)}</g>' + says(215, 64, "screws into end grain", None))


def long_point():
    ends = shape([(60, 50), (280, 50), (250, 90), (90, 90)])
    line = lambda x1, x2, y: f'<line x1="{x1}" y1="{y}" x2="{x2}" y2="{y}" stroke="#3b2c18"/>' + "".join(
        f'<line x1="{x}" y1="{y - 5}" x2="{x}" y2="{y + 5}" stroke="#3b2c18"/>' for x in (x1, x2))
    return (ends + line(60, 280, 36) + line(90, 250, 106) + says(170, 28, "long point to long point", None, "middle") +
            says(170, 124, "short point to short point", None, "middle"))


def kerf():
    return (box(30, 60, 130, 36) + box(160, 60, 8, 36, "cut") + box(168, 60, 100, 36) + box(268, 60, 8, 36, "cut") +
            box(276, 60, 44, 36, "ground") + says(164, 46, "kerf", (164, 60), "middle") + says(95, 82, "A1", None, "middle") +
            says(218, 82, "B1", None, "middle") + says(298, 116, "off-cut", (298, 96), "middle"))


def pilot():
    return (box(90, 30, 140, 36) + box(90, 66, 140, 64, "other") + box(155, 30, 10, 36, "cut") + box(157.5, 66, 5, 52, "cut") +
            screw(160, 26, 88) + says(245, 52, "clearance hole", (165, 48)) + says(245, 100, "pilot hole", (163, 112)))


DRAWN = {"frame": frame, "housing": housing, "halving": halving, "notch": notch, "birdsmouth": birdsmouth, "mitre": mitre, "butt": butt,
         "long-point": long_point, "kerf": kerf, "pilot": pilot}


def drawn_words(pages):
    for word, drawing in DRAWN.items():
        height = 200 if word == "frame" else 160
        (pages / "pictures" / f"word-{word}.svg").write_text(
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 {height}" width="400" height="{height}" '
            f'font-family="sans-serif" font-size="13">{drawing()}</svg>\n', encoding="utf-8")
