#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""What a server keeps of many different jobs: small and large ones, alone and several in a garden, in both yards, each asked
once, in another way each time. Prints the memory as it goes; ends with 1 when it was ever over --peak MB, or is over --end MB
after the last.

    bench/server_memory.py [--jobs 1000] [--seed 1] [--at-once 2] [--peak 200] [--end 150]

The program: GARTHWRIGHT_PROGRAM. Anonymous memory is what the server holds by itself; the rest of the resident memory are
pages of its files (program and libraries), which all instances on a machine share."""
import argparse
import collections
import concurrent.futures
import itertools
import os
import pathlib
import random
import re
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "tests"))
from random_yard import job_of  # noqa: E402
from served import Server  # noqa: E402

PATHS = {  # how often each is asked, as a page does: mostly the quick one
    "/api/v1/quick?checks=0": 20, "/api/v1/quick": 40, "/api/v1/plan": 12, "/api/v1/plan?order=0": 5, "/api/v1/check": 5,
    "/api/v1/model": 5, "/api/v1/sheets?format=svg&page=1": 3, "/api/v1/sheets/list": 2, "/api/v1/sheets": 4,
    "/api/v1/files/model.step": 1, "/api/v1/files/model.glb": 2, "/api/v1/files/plan.xlsx": 1, "/api/v1/thrift": 1}


def choices(**of):
    return "".join(f"{name} = {value}\n" for name, value in of.items())


def part(name, pattern, text, at=None):
    place = f"at = [{at[0]}, {at[1]}]\n" if at else ""
    return f'[[structure]]\nname = "{name}"\npattern = "{pattern}"\n{place}[structure.choices]\n{text}'


def roofed(r, name, at=None):
    """An arbor, or a pergola of up to some hundred pieces."""
    if r.random() < 0.5:
        return part(name, "arbor", choices(opening=r.randrange(700, 2400), depth=r.randrange(500, 1500)), at)
    large = r.random() < 0.3
    return part(name, "pergola", choices(length=r.randrange(2400, 8000 if large else 4500), depth=r.randrange(2000, 4500),
                                         rafters=r.randrange(5, 24 if large else 10), purlins=r.randrange(0, 16 if large else 6)), at)


def job(seed):
    r = random.Random(seed)
    if r.random() < 0.45:
        return job_of(seed)[1]
    yard = r.choice(["harrow-lane", "harrow-lane", "mill-creek"])
    parts = 1 if r.random() < 0.7 else r.randrange(2, 7)
    text = f'format = 1\ntitle = "Job {seed}"\n[timber]\ncatalogue = "{yard}"\n'
    for i in range(parts):
        text += roofed(r, f"part {i + 1}", (9000 * i, 0))
    return text


class Memory:
    def __init__(self, pid):
        self.status = pathlib.Path(f"/proc/{pid}/status")

    def mb(self, *names):
        text = self.status.read_text(encoding="ascii")
        return [int(re.search(rf"^{name}:\s*(\d+)", text, re.M)[1]) / 1024 for name in names]

    def told(self):
        now, own, peak = self.mb("VmRSS", "RssAnon", "VmHWM")
        return f"{now:.0f} MB resident, {own:.0f} MB of its own; at most {peak:.0f} MB so far"


def main():
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name, usual in (("jobs", 1000), ("seed", 1), ("at-once", 2), ("peak", 200), ("end", 150)):
        words.add_argument(f"--{name}", type=int, default=usual)
    given = words.parse_args()
    server = Server()
    memory, statuses, bytes_sent, began = Memory(server.process.pid), collections.Counter(), 0, time.monotonic()
    print(f"at the start: {memory.told()}; load of the machine {os.getloadavg()[0]:.1f}")

    def ask(seed):
        path = random.Random(seed * 7 + 1).choices(list(PATHS), list(PATHS.values()))[0]
        return server.ask("POST", path, job(seed), {"Accept-Encoding": "gzip"})

    seeds = range(given.seed, given.seed + given.jobs)
    with concurrent.futures.ThreadPoolExecutor(given.at_once) as crew:
        for n, reply in zip(itertools.count(1), crew.map(ask, seeds)):
            statuses[reply.status] += 1
            bytes_sent += len(reply.body)
            if n % max(1, given.jobs // 10) == 0:
                print(f"after {n}: {memory.told()}", flush=True)
    end, peak = memory.mb("VmRSS", "VmHWM")
    status, said = server.end()
    print(f"{given.jobs} jobs in {time.monotonic() - began:.0f} s, {bytes_sent / 2**20:.0f} MB of answers; "
          f"by status {dict(sorted(statuses.items()))}; exit status {status} {said}")
    fine = peak <= given.peak and end <= given.end and status == 0 and statuses[200] > given.jobs // 2
    print("within" if fine else "BEYOND", f"{given.peak} MB at most and {given.end} MB at the end")
    return 0 if fine else 1


if __name__ == "__main__":
    sys.exit(main())
