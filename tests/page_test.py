#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The page's own tests (web/tests) on the program that was built: GARTHWRIGHT_PROGRAM says which."""
import os
import pathlib
import shutil
import subprocess
import sys

WEB = pathlib.Path(os.environ.get("GARTHWRIGHT_SOURCE_DIR", pathlib.Path(__file__).resolve().parent.parent)) / "web"


def left_out(why):
    print(f"left out: {why}")
    sys.exit(77)


def main():
    if not shutil.which("npm"):
        left_out("npm is not here")
    if not (WEB / "node_modules").is_dir():
        left_out("web/node_modules is not there: run npm ci in web/")
    if not pathlib.Path(os.environ.get("CHROMIUM", "/usr/bin/chromium")).exists():
        left_out("Chromium is not here: install Debian's package chromium")
    environment = dict(os.environ, GARTHWRIGHT=os.environ["GARTHWRIGHT_PROGRAM"])
    for step in ("check", "build", "test"):
        done = subprocess.run(["npm", "run", "--silent", step], cwd=WEB, env=environment)
        if done.returncode != 0:
            print(f"npm run {step} failed in {WEB}")
            sys.exit(1)


if __name__ == "__main__":
    main()
