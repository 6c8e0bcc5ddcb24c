#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""How many pages the examples' sheets take, and how full they are.

    bench/sheet_pages.py PROGRAM [EXAMPLE…]

Pages are drawn by pdftoppm (Debian poppler-utils) at 40 dpi. A page's filled share is that of its 5 mm bands, between
the upper margin and the title block, that bear ink. What is full size (templates, rods) does not count as pages to be filled.
"""

import pathlib
import subprocess
import sys
import tempfile

SOURCE = pathlib.Path(__file__).resolve().parents[1]
DPI = 40
BAND = 5 / 25.4 * DPI
MARGIN = 10 / 25.4 * DPI
WHITE_ENOUGH = 200


def pages(pdf):
    """(words, width, height, rows) of each page; rows tell whether they bear ink."""
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", pdf, f"{folder}/p"], check=True)
        for number, path in enumerate(sorted(pathlib.Path(folder).glob("*.pgm")), 1):
            data = path.read_bytes()
            _, size, _, pixels = data.split(b"\n", 3)
            width, height = map(int, size.split())
            rows = [min(pixels[y * width:(y + 1) * width]) < WHITE_ENOUGH for y in range(height)]
            words = subprocess.run(["pdftotext", "-f", str(number), "-l", str(number), pdf, "-"], check=True,
                                   capture_output=True, text=True).stdout
            yield words, width, height, rows


def filled(width, height, rows):
    block = (10.5 if width > height else 21) / 25.4 * DPI
    top, bottom = MARGIN, height - MARGIN - block - 3 / 25.4 * DPI
    bands = int((bottom - top) / BAND)
    return sum(any(rows[int(top + i * BAND):int(top + (i + 1) * BAND)]) for i in range(bands)) / bands


def main():
    program, names = sys.argv[1], sys.argv[2:]
    if not names:
        names = sorted(path.stem for path in (SOURCE / "examples").glob("*.toml"))
    print(f"{'example':16} pages  full size  filled  under a third")
    for name in names:
        with tempfile.TemporaryDirectory() as out:
            subprocess.run([program, "plan", str(SOURCE / "examples" / f"{name}.toml"), "--out", out],
                           capture_output=True, check=False)
            shares, templates, thin = [], 0, []
            for number, (words, width, height, rows) in enumerate(pages(f"{out}/plan.pdf"), 1):
                if "full size" in words.lower() and any(kind in words for kind in ("Template for", "Rods")):
                    templates += 1
                    continue
                shares.append(filled(width, height, rows))
                if shares[-1] < 1 / 3:
                    thin.append(number)
        mean = sum(shares) / max(1, len(shares))
        print(f"{name:16} {len(shares):5}  {templates:9}  {mean:6.0%}  {', '.join(map(str, thin)) or 'none'}")


if __name__ == "__main__":
    main()
