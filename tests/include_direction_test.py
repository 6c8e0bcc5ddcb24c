#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Holds every `#include "room/…"` to the table of rooms in docs/architecture.md: a room includes itself, and else only
what the table lets it. Tests may also use what their room may; nothing may include a test."""
import os
import re
import sys
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("GARTHWRIGHT_SOURCE_DIR", Path(__file__).resolve().parent.parent))
INCLUDE = re.compile(r'^\s*#\s*include\s*"([^"]+)"', re.MULTILINE)


def read_table(text):
    """{room: (floor, words of the 'may include' column)} from the rows `| 3 | `solid` | … | structure, base |`."""
    rooms = {}
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.split("|")]
        if len(cells) == 6 and re.fullmatch(r"\d", cells[1]):
            for room in re.findall(r"`(\w+)`", cells[2]):
                rooms[room] = (int(cells[1]), cells[4])
    return rooms


def allowed(rooms):
    """{room: set of rooms it may include}. A cell lists rooms, or `floors 1–4`, or `nothing`."""
    result = {}
    for room, (_, words) in rooms.items():
        floors = re.fullmatch(r"floors (\d)–(\d)", words)
        if floors:
            low, high = map(int, floors.groups())
            result[room] = {other for other, (level, _) in rooms.items() if low <= level <= high}
        elif words == "nothing":
            result[room] = set()
        else:
            result[room] = {word.strip(" `") for word in words.split(",")}
    return result


class IncludeDirection(unittest.TestCase):
    def setUp(self):
        self.rooms = read_table((ROOT / "docs" / "architecture.md").read_text(encoding="utf-8"))
        self.allowed = allowed(self.rooms)

    def test_the_table_names_every_room_and_points_downwards(self):
        folders = {path.name for path in (ROOT / "src").iterdir() if path.is_dir()}
        self.assertEqual(set(), folders - set(self.rooms), "rooms that docs/architecture.md does not name")
        for room, others in self.allowed.items():
            for other in others:
                self.assertIn(other, self.rooms, f"{room} may include an unknown room")
                # structure stands on timber, the server hands out what its neighbours make; nowhere else does a floor look sideways.
                if (room, other) not in {("structure", "timber"), ("server", "sheets"), ("server", "exchange"), ("server", "decide")}:
                    self.assertLess(self.rooms[other][0], self.rooms[room][0], f"{room} → {other}")

    def test_every_include_keeps_to_the_table(self):
        wrong, seen = [], 0
        for path in sorted((ROOT / "src").rglob("*")):
            if path.suffix not in (".h", ".cc"):
                continue
            room = path.relative_to(ROOT / "src").parts[0]
            for target in INCLUDE.findall(path.read_text(encoding="utf-8")):
                seen += 1
                other = target.split("/")[0]
                if "/" not in target or not (ROOT / "src" / target).is_file():
                    wrong.append(f'{path}: "{target}" is no "room/header.h" under src/')
                elif other != room and other not in self.allowed[room]:
                    wrong.append(f'{path}: {room} may not include {other} ("{target}")')
        self.assertGreater(seen, 0)
        self.assertEqual([], wrong)

    def test_a_wrong_include_would_be_found(self):
        self.assertNotIn("plan", self.allowed["solid"])
        self.assertNotIn("buying", self.allowed["marking"])
        self.assertIn("structure", self.allowed["solid"])


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
