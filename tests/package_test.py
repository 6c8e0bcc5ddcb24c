#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""What is handed on is whole: the installed program with all it needs, its packages, and the kernels for other programs."""
import os
import shutil
import subprocess
import unittest
from pathlib import Path

from program import ROOT, ProgramTest

BUILD = Path(os.environ.get("GARTHWRIGHT_BUILD", ROOT / "build" / "release"))
EXPECTED = """bin/garthwright libexec/garthwright/libgarthwright_heavy.so share/garthwright/patterns/arbor.lua
    share/garthwright/catalogues/harrow-lane.toml share/garthwright/examples/arbor.toml share/garthwright/plan.schema.json
    share/garthwright/forces.schema.json share/garthwright/openapi.json share/garthwright/rates.toml share/garthwright/LICENSE
    share/man/man1/garthwright.1.gz share/bash-completion/completions/garthwright
    share/zsh/vendor-completions/_garthwright share/fish/vendor_completions.d/garthwright.fish
    share/doc/garthwright/job-file.md share/doc/garthwright/licences.txt share/doc/garthwright/garthwright.cdx.json""".split()
EXAMPLE_SAYS = ("the arm sags 4.713 mm\n"  # 500 × 1000³ / (3 × 11000 × 45 × 95³ / 12) = 4.7125
                "timber for 1978, at least 1978\n"  # two of 3600: each 2 × 1000 + 2 × 600 + 3 × 3 = 3209 of 3590
                "the board comes off in 5 ways\n")


def clean():
    """An environment that does not say where anything is."""
    return {name: value for name, value in os.environ.items() if not name.startswith("GARTHWRIGHT_")}


class Installed(ProgramTest):
    @classmethod
    def setUpClass(cls):
        import tempfile
        cls.root = tempfile.TemporaryDirectory(prefix="garthwright_")
        cls.prefix = Path(cls.root.name) / "first"
        for component in ("program", "kernels"):
            subprocess.run(["cmake", "--install", BUILD, "--prefix", cls.prefix, "--component", component], check=True,
                           capture_output=True)

    @classmethod
    def tearDownClass(cls):
        cls.root.cleanup()

    def test_everything_a_user_needs_is_there_and_plans_wherever_it_is_laid(self):
        for name in EXPECTED:
            self.assertTrue((self.prefix / name).is_file(), name)
        moved = self.folder / "second"
        shutil.copytree(self.prefix, moved, symlinks=True)
        program = moved / "bin" / "garthwright"
        done = subprocess.run([program, "plan", moved / "share/garthwright/examples/arbor.toml", "--out", self.folder / "out"],
                              capture_output=True, text=True, env=clean(), cwd=self.folder)
        self.assertIn(done.returncode, (0, 1), done.stderr)
        self.assertGreater((self.folder / "out" / "plan.pdf").stat().st_size, 20_000)
        self.assertGreater((self.folder / "out" / "model.step").stat().st_size, 20_000)
        doctor = subprocess.run([program, "doctor"], capture_output=True, text=True, env=clean())
        self.assertEqual(0, doctor.returncode, doctor.stdout)
        self.assertIn(f"{moved}/share/garthwright (it stands beside the program)", doctor.stdout)
        # Nothing of it points back to where it was built.
        for name in ("bin/garthwright", "libexec/garthwright/libgarthwright_heavy.so"):
            self.assertNotIn(str(ROOT).encode(), (self.prefix / name).read_bytes(), name)
        for name in ("share/garthwright", "lib/cmake", "share/pkgconfig"):
            for path in (self.prefix / name).rglob("*"):
                if path.is_file():
                    self.assertNotIn(str(ROOT).encode(), path.read_bytes(), path)

    def test_a_program_outside_the_tree_uses_the_kernels(self):
        source = self.folder / "mine"
        shutil.copytree(self.prefix / "share/doc/garthwright-kernels-dev/examples", source)
        build = self.folder / "build"
        subprocess.run(["cmake", "-S", source, "-B", build, f"-DCMAKE_PREFIX_PATH={self.prefix}", "-DCMAKE_BUILD_TYPE=Release"],
                       check=True, capture_output=True)
        subprocess.run(["cmake", "--build", build], check=True, capture_output=True)
        self.assertEqual(EXAMPLE_SAYS, subprocess.run([build / "kernels"], capture_output=True, text=True).stdout)
        # The same by pkg-config.
        flags = subprocess.run(["pkg-config", "--cflags", "--libs", "garthwright-frame", "garthwright-cutting",
                                "garthwright-assembly"], capture_output=True, text=True, check=True,
                               env={**os.environ, "PKG_CONFIG_PATH": str(self.prefix / "share/pkgconfig")}).stdout.split()
        subprocess.run(["g++", source / "kernels.cc", "-o", self.folder / "kernels", *flags], check=True)
        self.assertEqual(EXAMPLE_SAYS, subprocess.run([self.folder / "kernels"], capture_output=True, text=True).stdout)


class Packages(ProgramTest):
    def cpack(self, generator):
        done = subprocess.run(["cpack", "--config", BUILD / "CPackConfig.cmake", "-G", generator, "-B", self.folder / "packages"],
                              capture_output=True, text=True, cwd=self.folder)
        self.assertEqual(0, done.returncode, done.stdout + done.stderr)
        return sorted(path for path in (self.folder / "packages").iterdir() if path.is_file())

    def test_debian_packages_pass_lintian(self):
        packages = self.cpack("DEB")
        self.assertEqual(2, len(packages))
        said = subprocess.run(["lintian", "--allow-root", "--fail-on", "error,warning", *packages], capture_output=True, text=True)
        self.assertEqual(0, said.returncode, said.stdout + said.stderr)
        program = next(path for path in packages if path.name.startswith("garthwright_"))
        depends = subprocess.run(["dpkg-deb", "-f", program, "Depends"], capture_output=True, text=True, check=True).stdout
        for library in ("libocct-foundation-7.6", "libcairo2", "liblua5.4-0", "libsqlite3-0", "libssl3"):
            self.assertIn(library, depends)
        self.assertNotIn("-dev", depends)

    def test_the_archive_runs_where_it_is_laid(self):
        archive = next(path for path in self.cpack("TZST") if "kernels" not in path.name)
        self.assertTrue(archive.name.endswith(".tar.zst"))
        subprocess.run(["tar", "--zstd", "-xf", archive, "-C", self.folder], check=True)
        program = next(path for path in self.folder.glob("**/bin/garthwright") if "_CPack" not in str(path))
        job = program.parent.parent / "share/garthwright/examples/arbor.toml"
        done = subprocess.run([program, "plan", job, "--out", self.folder / "out"], capture_output=True, text=True, env=clean())
        self.assertIn(done.returncode, (0, 1), done.stderr)
        self.assertTrue((self.folder / "out" / "plan.pdf").is_file())


if __name__ == "__main__":
    unittest.main()
