#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Sends mutated jobs to the server: bytes flipped, parts cut, doubled and swapped, figures made huge, names exchanged,
headers and paths of their own. Each must be answered as docs/openapi.json describes, and the server must stand after.

  tests/mutated_bodies.py --count 10000 --seed 1
  tests/mutated_bodies.py --limit-s 100        a build with sanitizers needs more time for one answer
"""
import argparse
import random
import sys
import time

from program import EXAMPLES
from served import Server, faults

PATHS = ["/api/v1/check", "/api/v1/plan", "/api/v1/model", "/api/v1/quick", "/api/v1/why?mark=A1",
         "/api/v1/thrift?choice=rafters", "/api/v1/sheets?format=svg&page=1", "/api/v1/sheets/list",
         "/api/v1/files/pieces.csv", "/api/v1/files/model.glb", "/api/v1/files/model.step", "/api/v1/sheets?format=pdf"]
# Slow questions are asked less often.
WEIGHTS = [12, 10, 10, 20, 4, 1, 2, 1, 4, 3, 1, 1]
FIGURES = [b"0", b"-1", b"1e308", b"nan", b"inf", b"-inf", b"9223372036854775807", b"99999999999999999999", b"0.0001", b"4000",
           b"60", b"1e-300", b"'3 ft 1/0 in'", b'"' + b"9" * 300 + b' mm"', b"[[0,1],[1,0]]", b"[[0,1],[0.1,1e300],[0.7,-1],[1,0]]",
           b"true", b"{}", b'"ogee"', b'"' + b"\xf0\x9f\x8c\xb3" * 50 + b'"']
LINES = [b"[[structure]]\n", b"[structure.choices]\n", b'pattern = "pergola"\n', b'pattern = "../../etc/passwd"\n', b"at = [1e6, -1e6]\n",
         b"turn = 359.9\n", b'catalogue = "mill-creek"\n', b'units = "ft-in"\n', b"brace_leg = 0\n", b"rafters = 60\n",
         b"opening = 501\n", b"opening = 3999\n", b"height = 3500\n", b"in_ground = 1500\n", b'"4x2" = "1 x 1"\n',
         b"beam_end = [[0,1],[0.3,1],[0.7,0],[1,0]]\n", b"rafter_end = \"cove\"\n", b"kerf = 20\n", b"fit = 10\n", b"trim = 500\n"]


def mutated(text, rng):
    """A job with a few mutations; sometimes many."""
    for _ in range(rng.choice((1, 1, 1, 2, 3, 8, 40))):
        kind = rng.randrange(9)
        at = rng.randrange(len(text) + 1)
        lines = text.splitlines(keepends=True)
        if kind == 0 and text:
            at = min(at, len(text) - 1)
            text = text[:at] + bytes([rng.randrange(256)]) + text[at + 1:]
        elif kind == 1:
            text = text[:at] + text[at + rng.randrange(1, 60):]
        elif kind == 2:
            text = text[:at] + text[max(0, at - rng.randrange(1, 300)):at] + text[at:]
        elif kind == 3 and len(lines) > 1:
            rng.shuffle(lines)
            text = b"".join(lines)
        elif kind == 4:
            text = text[:at] + bytes(rng.randrange(256) for _ in range(rng.randrange(1, 20))) + text[at:]
        elif kind in (5, 6) and lines:
            places = [i for i, line in enumerate(lines) if b" = " in line]
            if places:
                i = rng.choice(places)
                lines[i] = lines[i].split(b" = ")[0] + b" = " + rng.choice(FIGURES) + b"\n"
                text = b"".join(lines)
        elif kind == 7:
            lines.insert(rng.randrange(len(lines) + 1), rng.choice(LINES))
            text = b"".join(lines)
        elif kind == 8:
            lines.append(rng.choice(LINES))
            text = b"".join(lines)
    return text[:262_144]


def resident_mb(pid):
    with open(f"/proc/{pid}/status", encoding="ascii") as lines:
        return next(int(line.split()[1]) // 1024 for line in lines if line.startswith("VmRSS"))


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--limit-s", type=int, default=30)
    given = parser.parse_args()
    rng = random.Random(given.seed)
    jobs = [path.read_bytes() for path in EXAMPLES]
    server = Server("--limit-s", given.limit_s)
    statuses, wrong, slowest, began = {}, [], 0, time.monotonic()
    connection = server.connect()
    for i in range(given.count):
        path, body = rng.choices(PATHS, WEIGHTS)[0], mutated(rng.choice(jobs), rng)
        asked = time.monotonic()
        try:
            reply = server.ask("POST", path, body, connection=connection)
            told, _ = faults("POST", path, reply)
            statuses[reply.status] = statuses.get(reply.status, 0) + 1
            # 504 and 503 would be honest answers to other questions; here no question is that large.
            if reply.status not in (200, 400):
                told = told + [f"status {reply.status}: {reply.body[:300]!r}"]
        except Exception as lost:  # pylint: disable=broad-except
            told = [f"no answer: {lost!r}; the server's exit status is {server.process.poll()}"]
        if time.monotonic() - asked > slowest:
            slowest = time.monotonic() - asked
        if told:
            wrong.append((i, path, body, told))
            print(f"request {i} to {path}: {told}\n{body!r}", file=sys.stderr)
            if len(wrong) > 5 or server.process.poll() is not None:
                break
            connection = server.connect()
    standing = server.process.poll() is None and server.ask("GET", "/healthz").status == 200
    memory = resident_mb(server.process.pid) if standing else 0
    connection.close()
    status, said = server.end()
    print(f"seed {given.seed}: {sum(statuses.values())} answers in {time.monotonic() - began:.0f} s, by status "
          f"{dict(sorted(statuses.items()))}; slowest {slowest:.2f} s; {memory} MB at the end; exit status {status}")
    both_kinds = given.count < 100 or min(statuses.get(200, 0), statuses.get(400, 0)) > given.count // 20
    if not both_kinds:
        print("hardly any job was still one (or all were): the mutations test nothing", file=sys.stderr)
    return 0 if not wrong and standing and both_kinds and (status, said) == (0, "") else 1


if __name__ == "__main__":
    sys.exit(main())
