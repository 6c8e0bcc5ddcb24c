# SPDX-License-Identifier: Apache-2.0
"""Runs the program under test. What the tests share, and nothing else."""
import fcntl
import hashlib
import json
import os
import resource
import shutil
import subprocess
import tempfile
import unittest
from pathlib import Path

ROOT = Path(os.environ.get("GARTHWRIGHT_SOURCE_DIR", Path(__file__).resolve().parent.parent))
PROGRAM = os.environ.get("GARTHWRIGHT_PROGRAM", str(ROOT / "build" / "release" / "garthwright"))
EXAMPLES = sorted((ROOT / "examples").glob("*.toml"))


def run(*words, text=None, file_limit=None, cwd=None, **environment):
    """The finished process, with stdout and stderr as text. `file_limit` is the most bytes a file may have: a disk that
    is full after so many bytes looks the same to the program."""

    def limit():
        if file_limit is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (file_limit, file_limit))

    return subprocess.run([PROGRAM, *map(str, words)], input=text, capture_output=True, encoding="utf-8", timeout=300,
                          cwd=cwd or ROOT, preexec_fn=limit, env={**os.environ, **environment})


class Planned:
    """What `plan` wrote for an example, and said."""

    def __init__(self, folder):
        said = json.loads((folder / "said.json").read_text(encoding="utf-8"))
        self.out, self.returncode, self.stdout, self.stderr = folder / "out", *said

    def json(self):
        return json.loads((self.out / "plan.json").read_text(encoding="utf-8"))


def planned(example):
    """An example (a path in examples/), planned once by this program as it is, whichever test asks first: the plans of the
    examples took most of the tests' time. Not to be written into."""
    program = os.stat(PROGRAM)
    known_by = hashlib.sha256(repr((PROGRAM, program.st_mtime_ns, program.st_size)).encode())
    for folder in ("examples", "patterns", "catalogues"):
        for path in sorted(path for path in (ROOT / folder).rglob("*") if path.is_file()):
            known_by.update(path.name.encode() + path.read_bytes())
    base = Path(os.environ.get("GARTHWRIGHT_PLANNED", tempfile.gettempdir())) / f"planned-{known_by.hexdigest()[:16]}"
    base.mkdir(parents=True, exist_ok=True)
    folder = base / example.stem
    with open(base / f"{example.stem}.lock", "w", encoding="utf-8") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not folder.is_dir():
            fresh = Path(tempfile.mkdtemp(dir=base))
            process = run("plan", example.relative_to(ROOT), "--out", fresh / "out")
            (fresh / "said.json").write_text(json.dumps([process.returncode, process.stdout, process.stderr]), encoding="utf-8")
            fresh.rename(folder)
    return Planned(folder)


def is_roofed(job):
    """Of an example: an arbor or a pergola, whose timbers hang on one another and whose ends are shaped."""
    return bool({"arbor", "pergola"} & set(job.stem.split("-")))


class ProgramTest(unittest.TestCase):
    """Gives each test a folder of its own, and shows what the program said when a status is not the expected one."""

    maxDiff = None

    def setUp(self):
        self.folder = Path(tempfile.mkdtemp(prefix="garthwright_"))
        self.addCleanup(shutil.rmtree, self.folder, ignore_errors=True)

    def assert_status(self, process, *allowed):
        self.assertIn(process.returncode, allowed,
                      f"{process.args}\n{process.stdout[-2000:]}\n{process.stderr[-4000:]}")
        return process

    def assert_planned(self, process):
        """Planned, whether every check of strength passes (0) or not (1)."""
        return self.assert_status(process, 0, 1)

    def plan(self, job, *words):
        """plan.json of a job (a path or a text); the exit status agrees with its checks."""
        if isinstance(job, str):
            path = self.folder / "job.toml"
            path.write_text(job, encoding="utf-8")
            job = path
        if job in EXAMPLES and not words:
            process = planned(job)
            self.assertIn(process.returncode, (0, 1), process.stderr)
            plan = process.json()
        else:
            process = self.assert_planned(run("plan", job, "--json", "-", *words))
            plan = json.loads(process.stdout)
        fails = any(check["verdict"] == "fails" for check in plan["checks"])
        fails = fails or any(found["severity"] == "error" for found in plan["diagnostics"])
        self.assertEqual(1 if fails else 0, process.returncode, "exit status and checks disagree")
        return plan

    def files(self, folder):
        """Every file by its name, those in folders by theirs too: "templates/H1-both.dxf"."""
        return {path.relative_to(folder).as_posix(): path.read_bytes()
                for path in Path(folder).rglob("*") if path.is_file()}


def arbor_job(choices="opening = 1350\n", units="mm", catalogue="harrow-lane", before=""):
    return (f'format = 1\ntitle = "Test arbor"\nunits = "{units}"\n{before}\n[timber]\ncatalogue = "{catalogue}"\n\n'
            f'[[structure]]\nname = "arbor"\npattern = "arbor"\n\n[structure.choices]\n{choices}')
