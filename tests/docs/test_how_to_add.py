"""Each page that says how to add something is carried out on a copy of the program.

Its code blocks are put where it says, what it tries is run in a process of its own, and
the files of the program that were touched are counted.
"""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BLOCK = r"```[a-z]*\n(?P<text>.*?)```"
EDIT = re.compile(
    r"^In `(?P<file>jointmap/[^`]+)`, "
    r"(?P<how>a new file|at the end|(?:before|after) the line `(?P<line>[^\n]+)`):"
    rf"\n\n{BLOCK}",
    re.MULTILINE | re.DOTALL,
)
TRY = re.compile(
    rf"^Try it:\n\n{BLOCK}\n\n```\n(?P<says>.*?)```", re.MULTILINE | re.DOTALL
)
# At most so many files of the program; a page's own folder counts as one.
MOST = {
    "add_a_calculation": 1,
    "add_a_finding": 2,
    "add_a_report": 2,
    "add_a_test_method": 4,
    "add_an_interval_rule": 4,  # three for a shape, one for a row of the catalogue
}


def text_of(page):
    return (ROOT / "docs" / "how_to" / f"{page}.md").read_text(encoding="utf-8")


def put(file, edit):
    """Carry out one edit; what it names must be there once, or not yet."""
    how, line, text = edit["how"], edit["line"], edit["text"]
    if how == "a new file":
        assert not file.exists()
        file.parent.mkdir(exist_ok=True)
        file.write_text(text, encoding="utf-8")
        return
    old = file.read_text(encoding="utf-8")
    if how == "at the end":
        file.write_text(old + text, encoding="utf-8")
        return
    assert f"\n{old}".count(f"\n{line}\n") == 1, (file, line)
    place = f"\n{old}".index(f"\n{line}\n")
    place += len(line) + 1 if how.startswith("after") else 0
    file.write_text(old[:place] + text + old[place:], encoding="utf-8")


def touched(edits):
    """Return the files of the program that are edited, and the folders that are new."""
    return {
        str(Path(e["file"]).parent) if e["how"] == "a new file" else e["file"]
        for e in edits
    }


def test_every_page_of_adding_is_carried_out():
    pages = {p.stem for p in (ROOT / "docs" / "how_to").glob("add_a*.md")}
    # What a column takes is a step of the tables: tests/storage/test_migrations.py.
    assert pages == {*MOST, "add_a_column"}


@pytest.mark.parametrize("page", MOST)
def test_what_the_page_says_works_and_touches_few_files(tmp_path, page):
    text = text_of(page)
    edits, tries = [*EDIT.finditer(text)], [*TRY.finditer(text)]
    assert edits
    assert tries
    assert text.count("In `jointmap/") == len(edits)
    assert len(touched(edits)) <= MOST[page]
    leave = shutil.ignore_patterns("__pycache__")
    shutil.copytree(ROOT / "jointmap", tmp_path / "jointmap", ignore=leave)
    for edit in edits:
        put(tmp_path / edit["file"], edit)
    for tried in tries:
        assert ran(tmp_path, tried["text"]) == tried["says"]


def ran(folder, program):
    """Run a program with the copy's ``jointmap`` and this checkout's tests."""
    (folder / "tests").symlink_to(ROOT / "tests")
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(folder)},
        capture_output=True,
        check=False,
        encoding="utf-8",
    )
    assert done.returncode == 0, done.stderr
    return done.stdout
