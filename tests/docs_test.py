#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Every fenced block of README.md and docs/ is what it says it is: jobs and yards are read by the program, patterns are
built, what a command answers is what stands below it, and no command or option is named that there is not."""
import json
import re
import shlex
import sys
import unittest

from program import ROOT, ProgramTest, run

sys.path.insert(0, str(ROOT / "packaging" / "manual"))
from manual import TUTORIAL  # noqa: E402
from words import DRAWN  # noqa: E402

PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]

# What a piece of a job is put into: it has a yard and an arbor, and ends where choices are made.
TIMBER = '[timber]\ncatalogue = "harrow-lane"\n\n'
ARBOR = '[[structure]]\nname = "arbor"\npattern = "arbor"\n\n[structure.choices]\nopening = 1350\nheight = "2.2 m"\nbrace_leg = 500\n\n'


class Block:
    def __init__(self, page, line, language, text):
        self.page, self.line, self.language, self.text = page, line, language, text

    def __str__(self):
        return f"{self.page.relative_to(ROOT)}:{self.line}"


def blocks():
    found = []
    for page in PAGES:
        opened = None
        for number, line in enumerate(page.read_text(encoding="utf-8").splitlines(), 1):
            if not line.startswith("```"):
                if opened:
                    opened.text += line + "\n"
            elif opened:
                found.append(opened)
                opened = None
            else:
                opened = Block(page, number, line[3:].strip(), "")
        assert not opened, f"{opened} is never closed"
    return found


def whole_job(fragment):
    """A job with this in it. What the fragment says of the timber stands in the place of the usual."""
    return 'format = 1\ntitle = "As the page says"\n\n' + ("" if "[timber]" in fragment else TIMBER) + ARBOR + fragment


def without_time(answer):
    return {key: value for key, value in json.loads(answer).items() if key not in ("seconds", "nodes")}


def commands(text):
    """Each `garthwright …` of a page, as people would type it, without what is said beside it."""
    typed = re.findall(r"^(?:    |\$ )(garthwright .*?)(?:   .*)?$", text, re.M) + re.findall(r"`(garthwright [a-z][^`]*)`", text)
    return [shlex.split(line, comments=True) for line in typed]


class Docs(ProgramTest):
    def each(self, language):
        found = [block for block in blocks() if block.language == language]
        self.assertTrue(found, f"no page has a block of {language}")
        return found

    def read(self, job):
        """Status 1 is a job that was read and does not stand: a fragment may say what it likes of that."""
        path = self.folder / "job.toml"
        path.write_text(job, encoding="utf-8")
        for yard in (ROOT / "examples" / "two-yards").glob("*.toml"):
            (self.folder / yard.name).write_bytes(yard.read_bytes())
        return self.assert_status(run("check", path, "--quick", XDG_DATA_HOME=self.folder / "own"), 0, 1)

    def keep(self, kind, block):
        """What the page shows, as a file of a person's own: patterns and yards are found there by name."""
        name = re.search(r'\bname = "([^"]*)"', block.text)[1]
        folder = self.folder / "own" / "garthwright" / kind
        folder.mkdir(parents=True, exist_ok=True)
        (folder / f"{name}.{'lua' if kind == 'patterns' else 'toml'}").write_text(block.text, encoding="utf-8")
        return name

    def test_jobs_are_read(self):
        for block in self.each("toml"):
            if "[[section]]" not in block.text:
                with self.subTest(block=str(block)):
                    self.read(block.text if block.text.startswith("format = ") else whole_job(block.text))

    def test_a_pattern_of_the_pages_is_built_from_a_yard_of_the_pages(self):
        """The whole ones; others are lines of a pattern that is shipped, and there they are built."""
        shipped = [path.read_text(encoding="utf-8") for path in (ROOT / "patterns").glob("*.lua")]
        yards = [self.keep("catalogues", block) for block in self.each("toml") if "[[section]]" in block.text]
        self.assertTrue(yards)
        for block in self.each("lua"):
            with self.subTest(block=str(block)):
                if block.text.startswith("local pattern = {") and block.text.rstrip().endswith("return pattern"):
                    name = self.keep("patterns", block)
                    for yard in yards:
                        self.read(f'format = 1\ntitle = "Mine"\n\n[timber]\ncatalogue = "{yard}"\n\n'
                                  f'[[structure]]\nname = "mine"\npattern = "{name}"\n')
                else:
                    self.assertTrue(any(block.text.strip("\n") in text for text in shipped), "no shipped pattern has these lines")

    def test_questions_have_the_answers_below_them(self):
        pairs = self.each("json")
        self.assertEqual(0, len(pairs) % 2, "a question without an answer")
        for asked, answer in zip(pairs[::2], pairs[1::2]):
            with self.subTest(block=str(asked)):
                command = "order" if "cases" in json.loads(asked.text) else "buy"
                said = self.assert_status(run(command, "-", text=asked.text), 0).stdout
                self.assertEqual(without_time(said), without_time(answer.text))

    def test_a_list_of_commas_means_what_its_json_means(self):
        for block in self.each("csv"):
            same = next(other for other in self.each("json") if other.page == block.page)
            answers = [without_time(self.assert_status(run("buy", "-", text=text), 0).stdout) for text in (block.text, same.text)]
            self.assertEqual(answers[1], answers[0])

    def test_a_session_of_the_pages_goes_as_they_show_it(self):
        """From the top of a page on: a whole job is what stands in garden.toml from there."""
        for page in PAGES:
            for block in (block for block in blocks() if block.page == page):
                if block.language == "toml" and block.text.startswith("format = "):
                    (self.folder / "garden.toml").write_text(block.text, encoding="utf-8")
                for part in re.split(r"^\$ ", block.text, flags=re.M)[1:] if block.text.startswith("$ garthwright") else ():
                    line, _, said = part.partition("\n")
                    with self.subTest(block=str(block), line=line):
                        process = self.assert_status(run(*shlex.split(line)[1:], cwd=self.folder), 0)
                        self.assertEqual(said.strip(), process.stdout.strip())

    def test_every_link_and_picture_of_a_page_is_there(self):
        """Those of the manual's own making are named where they are made."""
        made = {"gallery.md", *(f"pictures/tutorial-{name}.svg" for name in TUTORIAL), *(f"pictures/word-{word}.svg" for word in DRAWN)}
        seen = set()
        for page in PAGES:
            for link in re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", page.read_text(encoding="utf-8")):
                with self.subTest(page=page.name, link=link):
                    self.assertTrue(link in made or (page.parent / link).exists())
                    seen.add(link)
        self.assertEqual(set(), made - seen, "drawn, and shown nowhere")

    def test_every_row_of_a_table_stands_below_its_heads(self):
        for page in PAGES:
            lines = page.read_text(encoding="utf-8").splitlines()
            for number, line in enumerate(lines):
                begins = line.startswith("|") and not (number > 0 and lines[number - 1].startswith("|"))
                if begins:
                    self.assertRegex(lines[number + 1], r"^\|[-:|]+\|$", f"{page.name}:{number + 1} is printed as it is typed")

    def test_every_command_and_option_that_a_page_names_is_there(self):
        told = {}
        for page in PAGES:
            for words in commands(page.read_text(encoding="utf-8")):
                with self.subTest(page=page.name, words=words):
                    command = words[1]
                    if command not in told:
                        told[command] = self.assert_status(run("help", command), 0).stdout if command[0] != "-" else run("--help").stdout
                    for option in (word for word in words[1:] if word.startswith("--")):
                        self.assertIn(option, told[command])
        self.assertGreater(len(told), 10)

    def test_no_block_is_left_out(self):
        for block in blocks():
            with self.subTest(block=str(block)):
                self.assertTrue(block.language in {"lua", "toml", "json", "csv"} or block.text.startswith("$ garthwright"),
                                f"nothing here tries a block of '{block.language}'")


if __name__ == "__main__":
    unittest.main()
