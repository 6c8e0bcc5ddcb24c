#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Makes the manual, one site that needs no network, from docs/ and from the program itself:

    packaging/manual/manual.py PROGRAM OUT

The pages of docs/ are taken as they are. The program draws the tutorial's pictures and the gallery and tells the choices
of each pattern, so that none of it can be older than the program; openapi.json becomes a page. MkDocs does the rest."""
import json
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

from words import drawn_words

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
TUTORIAL = {"cover": "cover", "shopping": "shopping", "cutting": "cutting", "marking": "marking-out", "order": "steps"}


def run(program, *words, **how):
    done = subprocess.run([program, *map(str, words)], capture_output=True, encoding="utf-8", **how)
    if done.returncode not in (0, 1):
        sys.exit(f"{words}: {done.stderr}")
    return done.stdout


def picture(program, job, sheet, to):
    """The first sheet of a kind, as the program draws it."""
    folder = to.parent / f"{to.stem}-sheets"
    run(program, "plan", job, "--sheets", sheet, "--svg", "--out", folder)
    to.write_bytes((folder / "sheet-01.svg").read_bytes())
    shutil.rmtree(folder)


def tutorial(program, pages):
    job = re.search(r"```toml\n(format = .*?)```", (pages / "tutorial.md").read_text(encoding="utf-8"), re.S)[1]
    path = pages / "pictures" / "garden.toml"
    path.write_text(job, encoding="utf-8")
    for name, sheet in TUTORIAL.items():
        picture(program, path, sheet, pages / "pictures" / f"tutorial-{name}.svg")
    path.unlink()


def gallery(program, pages):
    """Every shipped example, drawn; the choices of every shipped pattern."""
    text = ("# Gallery\n\nWhat comes with the program, each drawn from a job in `examples/`. `garthwright new NAME` begins one of "
            "your own; all sizes below can be chosen.\n")
    examples = {path: tomllib.loads(path.read_text(encoding="utf-8")) for path in sorted((ROOT / "examples").glob("*.toml"))}
    names = [line.split()[0] for line in run(program, "patterns").splitlines() if line.strip()]
    for name in names:
        told = run(program, "patterns", name).rstrip("\n").splitlines()
        text += f"\n## {told[0].partition(': ')[2]}\n\n{told[1]}\n"
        for path, job in examples.items():
            if job["structure"][0]["pattern"] == name:
                picture(program, path, "cover", pages / "pictures" / f"gallery-{path.stem}.svg")
                text += f"\n![{job['title']}](pictures/gallery-{path.stem}.svg)\n\n{job['title']}, `examples/{path.name}`\n"
        choices = "\n".join(told[2:]).strip("\n")
        text += f"\n??? note \"Its choices\"\n\n    ```\n" + "\n".join("    " + line for line in choices.splitlines()) + "\n    ```\n"
    (pages / "gallery.md").write_text(text, encoding="utf-8")


def cell(text):
    return " ".join(str(text).split()).replace("|", "\\|")


def parameter_row(document, parameter):
    if "$ref" in parameter:
        parameter = document["components"]["parameters"][parameter["$ref"].rsplit("/", 1)[1]]
    schema = parameter.get("schema", {})
    may_be = ", ".join(map(str, schema["enum"])) if "enum" in schema else schema.get("type", "")
    return f"| `{parameter['name']}` | {cell(parameter['in'])} | {cell(may_be)} | {cell(parameter.get('description', ''))} |\n"


def api(pages):
    document = json.loads((ROOT / "docs" / "openapi.json").read_text(encoding="utf-8"))
    text = (f"# The API\n\n{document['info'].get('summary', '')}\n\n{document['info']['description']}\n\nThe same as a document for "
            "programs (OpenAPI): [openapi.json](openapi.json).\n")
    for path, ways in document["paths"].items():
        for way, asked in ways.items():
            if way == "parameters":
                continue
            text += f"\n## {way.upper()} {path}\n\n{asked.get('summary', '')}\n\n{asked.get('description', '')}\n"
            parameters = ways.get("parameters", []) + asked.get("parameters", [])
            if parameters:
                text += "\n| parameter | in | may be | |\n|---|---|---|---|\n"
                text += "".join(parameter_row(document, one) for one in parameters)
            text += "\n| answer | |\n|---|---|\n"
            for status, answer in asked["responses"].items():
                if "$ref" in answer:
                    answer = document["components"]["responses"][answer["$ref"].rsplit("/", 1)[1]]
                text += f"| {status} | {cell(answer['description'])} |\n"
    (pages / "api.md").write_text(text, encoding="utf-8")
    shutil.copy(ROOT / "docs" / "openapi.json", pages)


def home(pages):
    """README.md, whose links are those of the folder above."""
    text = (ROOT / "README.md").read_text(encoding="utf-8").replace("(docs/", "(")
    (pages / "index.md").write_text(text, encoding="utf-8")


def licences(site):
    """MkDocs and its theme put scripts and styles of theirs into the site: their licences go with them."""
    for package in ("mkdocs", "mkdocs-material"):
        told = Path("/usr/share/doc") / package / "copyright"
        if not told.is_file():
            sys.exit(f"{told} is missing: the site must carry the licence of {package}'s files")
        shutil.copy(told, site / f"licence-of-{package}.txt")


def main(program, out):
    work = Path(out).resolve().with_suffix(".work")
    shutil.rmtree(work, ignore_errors=True)
    pages = work / "pages"
    (pages / "pictures").mkdir(parents=True)
    for path in [*(ROOT / "docs").glob("*.md"), *(ROOT / "docs").glob("*.svg"), *(ROOT / "docs").glob("*.schema.json")]:
        shutil.copy(path, pages)
    home(pages)
    tutorial(program, pages)
    gallery(program, pages)
    drawn_words(pages)
    api(pages)
    shutil.copy(HERE / "mkdocs.yml", work)
    done = subprocess.run([shutil.which("python3", path="/usr/bin") or "python3", "-m", "mkdocs", "build", "--strict", "--quiet",
                           "--site-dir", Path(out).resolve()], cwd=work, capture_output=True, encoding="utf-8")
    sys.stderr.write(done.stdout + done.stderr)
    if done.returncode == 0:
        licences(Path(out))
        for path in Path(out).glob("sitemap.xml*"):  # of a site with an address; it holds the time of day
            path.unlink()
    shutil.rmtree(work)
    return done.returncode


if __name__ == "__main__":
    sys.exit(main(str(Path(sys.argv[1]).resolve()), sys.argv[2]))
