#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""A joint in solid wood against the links that stand for it (kRocksOn in src/strength/model.cc): two timbers of
orthotropic bricks, pressing on each other and never pulling, held by one screw and turned against each other, by CalculiX
(ccx, Debian's calculix-ccx); beside it the same joint with four corners and with an even bed under its face. What a screw's
head and thread sink in where they pull is measured apart and taken out: a screw's stiffness stands for it already.

Not part of the test run: it takes some minutes.    python3 tests/joint_in_solid.py
"""
import math
import pathlib
import subprocess
import tempfile

E_ALONG, E_ACROSS, G, G_ROLLING = 11000.0, 370.0, 690.0, 69.0  # N/mm²: C24, EN 338; rolling shear a tenth of G
SCREW = 8000.0  # N/mm along itself: a screw of 8 mm, 40 mm of thread
STIFF = 2000.0  # N/mm for each mm² of what touches: hard beside the wood
BARS = {"x": "1,0,0,0,1,0", "y": "0,1,0,0,0,1", "z": "0,0,1,1,0,0"}  # the grain, and a way across it


def steps(start, *pairs):
    """Places from `start` on: so many steps to the next place, and so forth."""
    out = [float(start)]
    for n, to in zip(pairs[::2], pairs[1::2]):
        begin = out[-1]
        out += [begin + (to - begin) * (i + 1) / n for i in range(n)]
    return out


class Solid:
    """Bricks, springs, equations and what touches; half of a joint that is alike to either side of x = 0."""

    def __init__(self):
        self.nodes, self.bricks, self.springs, self.equations, self.held, self.loads, self.touching = [], {}, [], [], [], [], []
        self.at = {}

    def node(self, *place):
        self.nodes.append(place)
        return len(self.nodes)

    def timber(self, name, xs, ys, zs, grain, stands=lambda x, y, z: True):
        found = {}

        def node(i, j, k):
            key = (round(xs[i], 4), round(ys[j], 4), round(zs[k], 4))
            if key not in found:
                found[key] = self.node(*key)
            return found[key]

        bricks = []
        for i in range(len(xs) - 1):
            for j in range(len(ys) - 1):
                for k in range(len(zs) - 1):
                    if stands((xs[i] + xs[i + 1]) / 2, (ys[j] + ys[j + 1]) / 2, (zs[k] + zs[k + 1]) / 2):
                        bricks.append([node(i + a, j + b, k + c) for c in (0, 1) for a, b in ((0, 0), (1, 0), (1, 1), (0, 1))])
        self.at[name], self.bricks[name] = found, (bricks, grain)
        for place, n in found.items():
            if place[0] == 0:
                self.held.append((n, 1))

    def of(self, name, test):
        return [n for place, n in self.at[name].items() if test(*place)]

    def touch(self, below, above, way, test):
        """What is above in direction `way` (1 to 3) never comes into what is below; each place with its part of the area."""
        places = [p for p in self.at[below] if p in self.at[above] and test(*p)]
        across = [i for i in range(3) if i != way - 1]
        lines = [sorted({p[i] for p in places}) for i in across]

        def part(line, value):
            i = line.index(value)
            return ((line[i + 1] - value if i + 1 < len(line) else 0) + (value - line[i - 1] if i else 0)) / 2

        for p in places:
            area = part(lines[0], p[across[0]]) * part(lines[1], p[across[1]])
            self.touching.append((self.at[below][p], self.at[above][p], way, area, p))

    def mean(self, nodes, way):
        """A node that moves as these do on average, in one way."""
        n = self.node(0, 0, 5000 + len(self.nodes))
        self.equations.append([(n, way, 1.0)] + [(m, way, -1 / len(nodes)) for m in nodes])
        self.held += [(n, other) for other in (1, 2, 3) if other != way]
        return n

    def turned(self, nodes, way, arm):
        """A node whose first way is the turning of a section that stays plane."""
        shift, turn = self.node(0, 0, 9000), self.node(0, 0, 9100)
        for n in nodes:
            self.equations.append([(n, way, 1.0), (shift, way, -1.0), (turn, 1, -arm(self.nodes[n - 1]))])
        self.held += [(shift, other) for other in (1, 2, 3) if other != way] + [(turn, 2), (turn, 3)]
        return turn

    def deck(self, shut):
        out = ["*NODE,NSET=ALL"] + [f"{i + 1},{x:.6g},{y:.6g},{z:.6g}" for i, (x, y, z) in enumerate(self.nodes)]
        e = 0
        for name, (bricks, grain) in self.bricks.items():
            out.append(f"*ELEMENT,TYPE=C3D8I,ELSET={name}")
            for brick in bricks:
                e += 1
                out.append(f"{e}," + ",".join(map(str, brick)))
            out += [f"*ORIENTATION,NAME=O{name}", BARS[grain], f"*MATERIAL,NAME=W{name}",
                    "*ELASTIC,TYPE=ENGINEERING CONSTANTS",
                    f"{E_ALONG},{E_ACROSS},{E_ACROSS},0.4,0.4,0.4,{G},{G},", f"{G_ROLLING}",
                    f"*SOLID SECTION,ELSET={name},MATERIAL=W{name},ORIENTATION=O{name}"]
        pressed = [(a, b, way, STIFF * area) for (a, b, way, area, _), yes in zip(self.touching, shut) if yes]
        for a, b, way, k in self.springs + pressed:
            e += 1
            out += [f"*ELEMENT,TYPE=SPRING2,ELSET=S{e}", f"{e},{a},{b}", f"*SPRING,ELSET=S{e}", f"{way},{way}", f"{k:.6f}"]
        for equation in self.equations:
            out += ["*EQUATION", f"{len(equation)}"] + [f"{n},{way},{by:.10g}" for n, way, by in equation]
        out += ["*BOUNDARY"] + [f"{n},{way},{way}" for n, way in self.held]
        out += ["*STEP", "*STATIC", "*CLOAD"] + [f"{n},{way},{by:.8f}" for n, way, by in self.loads]
        return "\n".join(out + ["*NODE PRINT,NSET=ALL", "U", "*END STEP", ""])

    def solve(self):
        """Displacements, and the push at each place that touches: shut or open until none changes any more."""
        shut = [True] * len(self.touching)
        for _ in range(40):
            with tempfile.TemporaryDirectory() as folder:
                pathlib.Path(folder, "m.inp").write_text(self.deck(shut))
                subprocess.run(["ccx", "-i", "m"], cwd=folder, stdout=subprocess.DEVNULL, check=True)
                rows = [line.split() for line in pathlib.Path(folder, "m.dat").read_text().splitlines()]
            u = {int(r[0]): [float(x) for x in r[1:]] for r in rows if len(r) == 4 and r[0].isdigit()}
            gap = [u[b][way - 1] - u[a][way - 1] for a, b, way, _, _ in self.touching]
            now = [g < 0 for g in gap]
            if now == shut:
                return u, [-g * STIFF * area if yes else 0 for g, yes, (_, _, _, area, _) in zip(gap, shut, self.touching)]
            shut = now
        raise RuntimeError("what touches does not settle")


def beam_on_post(deep=145.0, thick=45.0, post=95.0, let_in=16.0):
    """A beam let a little into a post's outer face, its grain along x; the post's foot is turned about x."""
    s, half, top = Solid(), post / 2, deep - 10
    s.timber("BEAM", steps(0, 6, half, 4, half + 50, 6, 300), steps(-thick, 4, -let_in, 2, 0), steps(0, 18, top, 2, deep), "x")
    s.timber("POST", steps(0, 6, half), steps(-let_in, 2, 0, 9, post - let_in), steps(-300, 10, -60, 8, 0, 18, top), "z",
             lambda x, y, z: y > 0 or z < 0)
    s.touch("BEAM", "POST", 2, lambda x, y, z: y == 0 and z >= 0)
    s.held += [(n, way) for n in s.of("BEAM", lambda x, y, z: x == 300) for way in (2, 3)]
    middle = min({p[2] for p in s.at["BEAM"]}, key=lambda z: abs(z - deep / 2))
    head = s.of("BEAM", lambda x, y, z: y == -thick and math.hypot(x, z - middle) <= 9)
    thread = s.of("POST", lambda x, y, z: x == 0 and z == middle and 20 <= y <= post - let_in - 8)
    beside = [s.of(name, lambda x, y, z: x == 0 and z == middle and abs(y) < 9) for name in ("BEAM", "POST")]
    s.springs.append((s.mean(beside[0], 3), s.mean(beside[1], 3), 3, 1000.0))
    turn = s.turned(s.of("POST", lambda x, y, z: z == -300), 3, lambda at: at[1] - (post / 2 - let_in))
    side = thick**3 * deep * (1 / 3 - 0.21 * thick / deep)
    bars = 300 / 2 / (G * side) + (300 + middle) / (E_ALONG * post**4 / 12)
    return s, (s.mean(head, 2), s.mean(thread, 2), 2), turn, dict(
        arm=top - middle, below=middle, wide=post, gives=(thick / 2 + max(post / 2 - let_in, post / 2)) / E_ACROSS, bars=bars)


def rafter_on_beam(wide=45.0, high=120.0, deep=145.0):
    """A rafter, its grain along y, across a beam of the same width; the rafter's end is turned about x."""
    s, half = Solid(), wide / 2
    s.timber("RAFTER", steps(0, 4, half), steps(-120, 5, -half, 8, half, 4, half + 30, 8, 400), steps(0, 14, high), "y")
    s.timber("BEAM", steps(0, 4, half, 3, half + 30, 6, 300), steps(-half, 8, half), steps(-deep, 8, -40, 7, 0), "x")
    s.touch("BEAM", "RAFTER", 3, lambda x, y, z: z == 0)
    s.held += [(n, way) for n in s.of("BEAM", lambda x, y, z: x == 300) for way in (2, 3)]
    head = s.of("RAFTER", lambda x, y, z: z == high and math.hypot(x, y) <= 10)
    thread = s.of("BEAM", lambda x, y, z: x == 0 and y == 0 and -80 <= z <= -8)
    beside = [s.of("RAFTER", lambda x, y, z: x == 0 and y == 0 and z < 9), s.of("BEAM", lambda x, y, z: x == 0 and y == 0 and z > -6)]
    s.springs.append((s.mean(beside[0], 2), s.mean(beside[1], 2), 2, 1000.0))
    turn = s.turned(s.of("RAFTER", lambda x, y, z: y == 400), 2, lambda at: -(at[2] - high / 2))
    side = wide**3 * deep * (1 / 3 - 0.21 * wide / deep)
    bars = 300 / 2 / (G * side) + 400 / (E_ALONG * wide * high**3 / 12)
    return s, (s.mean(thread, 3), s.mean(head, 3), 3), turn, dict(
        arm=half, below=half, wide=wide, gives=(high / 2 + deep / 2) / E_ACROSS, bars=bars)


def in_solid(made, moment):
    """Pull of the screw, how far out the pressure is, and how far the joint itself turns."""
    s, (head, thread, way), turn, facts = made
    whole = dict(loads=list(s.loads), springs=list(s.springs))
    s.loads = [(head, way, 500.0), (thread, way, -500.0)]  # pressed together: what head, thread and face sink in
    u, _ = s.solve()
    sinks = (u[head][way - 1] - u[thread][way - 1]) / 1000 - facts["gives"] / ((facts["arm"] + facts["below"]) * facts["wide"])
    s.springs = whole["springs"] + [(head, thread, way, SCREW / 2)]
    s.loads = [(turn, 1, moment / 2)]
    u, _ = s.solve()
    pull = SCREW * (u[thread][way - 1] - u[head][way - 1])
    arm = moment / pull
    return pull, arm / facts["arm"], u[turn][0] - moment * facts["bars"] - pull * sinks / arm


def by_links(facts, moment, parts):
    """The same by springs under the face, of which those that would pull are open."""
    kept = [(z - facts["below"], part * (facts["arm"] + facts["below"]) * facts["wide"] / facts["gives"]) for z, part in parts]
    shut = [True] * len(kept)
    while True:
        # Shift v and turning t of one against the other: places press where v - t r < 0.
        a = SCREW + sum(k for (_, k), yes in zip(kept, shut) if yes)
        b = sum(-k * r for (r, k), yes in zip(kept, shut) if yes)
        c = sum(k * r * r for (r, k), yes in zip(kept, shut) if yes)
        det = a * c - b * b
        v, t = -b * moment / det, a * moment / det
        now = [v - t * r < 0 for r, _ in kept]
        if now == shut:
            return SCREW * v, moment / (SCREW * v) / facts["arm"], t
        shut = now


def main():
    cases = [("beam 45x145 on post 95", lambda: beam_on_post(), 1e5), ("beam 45x95 on post 95", lambda: beam_on_post(deep=95.0), 1e5),
             ("beam 45x195 on post 95", lambda: beam_on_post(deep=195.0), 1e5), ("beam 45x145 on post 145", lambda: beam_on_post(post=145.0), 1e5),
             ("beam 70x145 on post 95", lambda: beam_on_post(thick=70.0), 1e5), ("rafter 45x120 on beam 45x145", lambda: rafter_on_beam(), 3e4)]
    for words, make, moment in cases:
        made = make()
        facts = made[3]
        ends = (0.0, facts["arm"] + facts["below"])
        rows = {"solid": in_solid(made, moment), "corners": by_links(facts, moment, [(z, 0.5) for z in ends]),
                "even bed": by_links(facts, moment, [(ends[1] * (i + 0.5) / 100, 0.01) for i in range(100)])}
        print(f"{words}, {moment / 1000:.0f} N m:")
        for name, (pull, out, turns) in rows.items():
            print(f"  {name:9} pulls the screw {pull:5.0f} N, presses {out:.2f} of the way out, turns {1000 * turns:5.1f} mrad", flush=True)


if __name__ == "__main__":
    main()
