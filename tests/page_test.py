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


def cannot_be_tried(why):
    sys.exit(f"FAIL: page\n{why}")


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
        cannot_be_tried("npm is not here")
    if not (WEB / "node_modules").is_dir():
        cannot_be_tried("web/node_modules is not there: run npm ci in web/")
    if not pathlib.Path(os.environ.get("CHROMIUM", "/usr/bin/chromium")).exists():
        cannot_be_tried("Chromium is not here: install Debian's package chromium")
    if not carries_a_page():
        cannot_be_tried("the program was built without its page: run ./dev build where npm is at hand")
    if subprocess.run(["npm", "run", "--silent", "check"], cwd=WEB).returncode != 0:
        sys.exit(f"FAIL: types\nnpm run check failed in {WEB}")
    with tempfile.TemporaryDirectory() as folder:
        told = pathlib.Path(folder) / "told.json"
        environment = dict(os.environ, GARTHWRIGHT=PROGRAM, PLAYWRIGHT_JSON_OUTPUT_NAME=str(told),
                           PLAYWRIGHT_OUTPUT=str(pathlib.Path(folder) / "kept"))
        environment.setdefault("WORKERS", "2")  # the test runs alone (RUN_SERIAL)
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
    print(f"Ran {ran + counts['skipped']} tests in {counts['duration'] / 1000:.3f}s")
    if counts["skipped"]:
        print(f"FAILED (skipped={counts['skipped']})")
    if done.returncode != 0 or ran == 0 or counts["skipped"]:
        sys.exit(1)


if __name__ == "__main__":
    main()
