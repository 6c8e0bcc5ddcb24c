#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Whatever of others is linked, compiled in or brought along is named with its licence, in words and in a bill of materials."""
import json
import os
import re
import subprocess
import unittest
from pathlib import Path

from program import PROGRAM, ROOT, ProgramTest, run
from served import Server

# How a component shows itself: the names of shared libraries it comes in, and the headers it is included by.
SHARED = {"Open CASCADE Technology": r"libTK\w+\.so", "cairo": r"libcairo\.so", "FreeType": r"libfreetype\.so",
          "OpenSSL": r"lib(crypto|ssl)\.so", "zlib": r"libz\.so", "Lua": r"liblua", "fmt": r"libfmt\.so",
          "libqrencode": r"libqrencode\.so", "libxlsxwriter": r"libxlsxwriter\.so", "SQLite": r"libsqlite3\.so", "GNU C++ library": r"lib(stdc\+\+|gcc_s)\.so",
          "GNU C library": r"(libc|libm|ld-linux\S*|libpthread|libdl)\.so"}
HEADERS = {"Eigen": r"Eigen/", "Boost.Asio and Boost.Beast": r"boost/", "toml++": r"toml\+\+/", "JSON for Modern C++": r"nlohmann/",
           "CLI11": r"CLI/", "tl::expected": r"tl/", "fmt": r"fmt/", "Lua": r"lua", "SQLite": r"sqlite3", "cairo": r"cairo",
           "OpenSSL": r"openssl/", "zlib": r"zlib", "FreeType": r"(ft2build|freetype)",
           "libqrencode": r"qrencode", "libxlsxwriter": r"xlsxwriter", "Open CASCADE Technology": r"\w+\.hxx"}
OF_THE_SYSTEM = re.compile(r"[a-z_0-9]+|(sys|netinet|arpa|linux)/\w+\.h|\w+\.h")


def components():
    rows = [line.split("|") for line in (ROOT / "licences" / "components.txt").read_text(encoding="utf-8").splitlines()
            if line and not line.startswith("#")]
    return {row[0].strip(): [field.strip() for field in row[1:]] for row in rows}


class Licences(ProgramTest):
    def setUp(self):
        super().setUp()
        self.known = components()

    def test_every_shared_library_is_of_a_component(self):
        files = [PROGRAM, *Path(PROGRAM).parent.glob("libgarthwright*.so")]
        needed = set()
        for file in files:
            said = subprocess.run(["readelf", "-d", file], capture_output=True, text=True, check=True).stdout
            needed |= set(re.findall(r"\(NEEDED\).*\[(.*)\]", said))
        self.assertIn("libc.so.6", needed)
        needed = {name for name in needed if not name.startswith("libgarthwright")}
        for name in sorted(needed):
            self.assertTrue(any(re.match(pattern, name) and of in self.known for of, pattern in SHARED.items()),
                            f"{name} is linked, and licences/components.txt says nothing of it")

    def test_every_header_of_others_is_of_a_component(self):
        seen = set()
        for source in (ROOT / "src").rglob("*"):
            if source.suffix not in (".cc", ".h") or source.stem.endswith(("_test", "_for_tests")):
                continue
            for header in re.findall(r"^\s*#include <([^>]+)>", source.read_text(encoding="utf-8"), re.M):
                owner = next((of for of, pattern in HEADERS.items() if re.match(pattern, header)), None)
                if owner is None:
                    self.assertTrue(OF_THE_SYSTEM.fullmatch(header), f"{source.name} includes <{header}>: whose is it?")
                    continue
                self.assertIn(owner, self.known)
                seen.add(owner)
        self.assertLessEqual({name for name, row in self.known.items() if row[0] == "compiled"}, seen,
                             "a component that nothing includes any more")

    def test_every_package_of_the_page_is_named_with_its_own_licence(self):
        lock = json.loads((ROOT / "web" / "package-lock.json").read_text(encoding="utf-8"))["packages"]
        shipped = {name.removeprefix("node_modules/"): entry for name, entry in lock.items() if name and not entry.get("dev")
                   and not entry.get("devOptional") and not entry.get("peer")}
        named = {row[1]: row for row in self.known.values() if row[0] == "page"}
        self.assertEqual(set(shipped), set(named))
        for name, entry in shipped.items():
            self.assertEqual(entry["license"], named[name][2], name)

    def test_the_program_and_the_page_tell_them_all(self):
        said = self.assert_status(run("licences"), 0).stdout
        page = (ROOT / "web" / "dist" / "index.html").exists()
        for name, (how, _, licence, texts, owner, home) in self.known.items():
            if how.startswith("page") and not page:
                continue
            for words in (name, owner, home, f"Licence: {licence}"):
                self.assertIn(words, said)
            for text in texts.split():
                self.assertIn((ROOT / "licences" / "texts" / f"{text}.txt").read_text(encoding="utf-8").strip(), said)
        self.assertIn((ROOT / "LICENSE").read_text(encoding="utf-8").strip(), said)
        server = Server()
        try:
            self.assertEqual(said, server.ask("GET", "/licences.txt").body.decode())
        finally:
            server.end()

    def test_the_bill_of_materials_keeps_to_cyclonedx(self):
        path = Path(os.environ["GARTHWRIGHT_SBOM"])
        check = ["node", ROOT / "tests" / "tools" / "validate_sbom.mjs"]
        process = subprocess.run([*check, path], capture_output=True, text=True)
        self.assertEqual(0, process.returncode, process.stderr)
        bill = json.loads(path.read_text(encoding="utf-8"))
        by_name = {part["name"]: part for part in bill["components"]}
        for name, (how, package, *_) in self.known.items():
            if not how.startswith("page"):
                self.assertRegex(by_name[name]["purl"], f"^pkg:deb/debian/{re.escape(package.replace('+', '%2B'))}@", name)
        # The validator does find faults.
        bill["components"][0]["licenses"] = [{"license": {"id": "No such licence"}}]
        wrong = self.folder / "wrong.json"
        wrong.write_text(json.dumps(bill), encoding="utf-8")
        self.assertEqual(1, subprocess.run([*check, wrong], capture_output=True).returncode)


if __name__ == "__main__":
    unittest.main()
