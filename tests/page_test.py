#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The page's own tests (web/tests) on the page that is in the program: GARTHWRIGHT_PROGRAM says which program.

Types are checked first. Nothing is built here: what the program carries is what is tried, under the rules it serves it by.
"""
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import urllib.request

WEB = pathlib.Path(os.environ.get("GARTHWRIGHT_SOURCE_DIR", pathlib.Path(__file__).resolve().parent.parent)) / "web"
PROGRAM = os.environ["GARTHWRIGHT_PROGRAM"]


def left_out(why):
    print(f"left out: {why}")
    sys.exit(77)


def carries_a_page():
    """Asked of the program itself, which may have been built where npm was not at hand."""
    server = subprocess.Popen([PROGRAM, "serve", "--port", "0"], stdout=subprocess.PIPE, text=True)
    try:
        for line in server.stdout:
            if url := re.search(r"http://[\d.]+:\d+", line):
                with urllib.request.urlopen(url[0], timeout=60) as answer:
                    return b'id="page"' in answer.read()
        sys.exit(f"{PROGRAM} serve ended without telling its address")
    finally:
        server.terminate()
        server.wait()


def failures(suite, above=()):
    names = (*above, suite["title"])
    for inner in suite.get("suites", []):
        yield from failures(inner, names)
    for spec in suite.get("specs", []):
        if not spec["ok"]:
            yield " › ".join((*names, spec["title"]))


def main():
    if not shutil.which("npm"):
        left_out("npm is not here")
    if not (WEB / "node_modules").is_dir():
        left_out("web/node_modules is not there: run npm ci in web/")
    if not pathlib.Path(os.environ.get("CHROMIUM", "/usr/bin/chromium")).exists():
        left_out("Chromium is not here: install Debian's package chromium")
    if not carries_a_page():
        left_out("the program was built without its page: run ./dev build where npm is at hand")
    if subprocess.run(["npm", "run", "--silent", "check"], cwd=WEB).returncode != 0:
        sys.exit(f"FAIL: types\nnpm run check failed in {WEB}")
    with tempfile.TemporaryDirectory() as folder:
        told = pathlib.Path(folder) / "told.json"
        environment = dict(os.environ, GARTHWRIGHT=PROGRAM, PLAYWRIGHT_JSON_OUTPUT_NAME=str(told),
                           PLAYWRIGHT_OUTPUT=str(pathlib.Path(folder) / "kept"))
        environment.pop("GARTHWRIGHT_DIST", None)
        done = subprocess.run(["npx", "playwright", "test", "--reporter=list,json"], cwd=WEB, env=environment)
        if not told.is_file():
            sys.exit("FAIL: page\nthe tests of the page did not come to an end")
        result = json.loads(told.read_text())
    counts = result["stats"]
    ran = counts["expected"] + counts["unexpected"] + counts["flaky"]
    for suite in result["suites"]:
        for name in failures(suite):
            print(f"FAIL: {name}")
    # In unittest's words, by which the tests of this house are counted.
    print(f"Ran {ran} tests in {counts['duration'] / 1000:.3f}s")
    if done.returncode != 0 or ran == 0:
        sys.exit(1)


if __name__ == "__main__":
    main()
