"""What a person at a terminal sees, and what the same command writes into a pipe."""

import re
import shutil

import pytest

from tests.command_line import jointmap, on_terminal
from tests.small_site import WHO

COLOUR = re.compile("\x1b\\[[0-9;]*m")
ON = ("--on", "2026-05-15")
PATHS = (
    "name,boundary,kind,state,fitted_on\nP-1,B-1,temporary bond,joining,2025-10-02\n"
)
OF_ONE = ["why J-1", "why B-1", "why P-1", "dossier J-1", "boundary B-1",
          "findings J-1", "findings B-1"]  # fmt: skip
SHEET = "name,joint\nTP-7,J-1\n"
# What is told on the way, and what is asked of the site.
LONG = {
    "load": (("SITE", "SHEET", *WHO, "--dry-run"), "reading files"),
    "publish": (("SITE", *ON, "--out", "OUT"), "writing pages"),
    "month": (("SITE", "2026-06", *ON, "--out", "OUT"), "planning routes"),
    "verify": (("SITE",), "checking rows"),
    "backup": (("SITE", "--out", "OUT"), "packing files"),
    "export": (("SITE", *ON, "--out", "OUT.csv"), "writing joints"),
    "model learn": (("SITE", *ON), "learning from tests"),
}


@pytest.mark.parametrize("words", [("due", *ON), ("findings", *ON), ("boundary", *ON)])
@pytest.mark.parametrize("columns", [60, 140])
def test_colour_only_repeats_words(loaded, words, columns):
    asked = (words[0], loaded, *words[1:])
    coloured = on_terminal(*asked, columns=columns)
    piped = jointmap(*asked, COLUMNS=str(columns))
    assert COLOUR.search(coloured.out)
    # A terminal shows what goes to stderr as well: why it ends with 1.
    assert COLOUR.sub("", coloured.out) == piped.out + piped.err
    assert max(map(len, piped.out.splitlines())) <= columns
    for more in ({"NO_COLOR": "1"}, {"TERM": "dumb"}):
        assert on_terminal(*asked, columns=columns, **more).out == (
            piped.out + piped.err
        )


@pytest.mark.parametrize("asked", OF_ONE)
@pytest.mark.parametrize("columns", [44, 80, 140])
def test_an_answer_on_one_thing_is_as_wide_as_the_terminal(with_path, asked, columns):
    command, name = asked.split()
    words = command, with_path, name, *ON
    text = jointmap(*words, COLUMNS=str(columns)).out
    assert columns // 2 < max(map(len, text.splitlines())) <= columns
    other = jointmap(*words, COLUMNS="100").out
    assert "".join(text.split()) == "".join(other.split())


@pytest.fixture(scope="module")
def with_path(loaded, tmp_path_factory):
    """The small site with a bond across its boundary, shorted by its record."""
    folder = tmp_path_factory.mktemp("path")
    shutil.copytree(loaded, folder / "site")
    (folder / "paths.csv").write_text(PATHS, encoding="utf-8")
    ran = jointmap("load", folder / "site", folder / "paths.csv", *WHO)
    assert ran.code == 0, ran.said
    return folder / "site"


def test_what_is_no_terminal_is_80_columns_wide(loaded):
    assert jointmap("due", loaded, *ON, COLUMNS="").out == (
        jointmap("due", loaded, *ON, COLUMNS="80").out
    )


@pytest.fixture
def places(site, tmp_path):
    sheet = tmp_path / "test_points.csv"
    sheet.write_text(SHEET, encoding="utf-8")
    return {"SITE": site, "SHEET": sheet}


@pytest.mark.parametrize("command", LONG)
def test_a_bar_is_drawn_and_taken_away(places, tmp_path, command):
    words, stage = LONG[command]
    named = [places.get(w, w) for w in words]

    def asked(place):
        return [*command.split(), *(str(w).replace("OUT", str(place)) for w in named)]

    seen = on_terminal(*asked(tmp_path / "a"))
    piped = jointmap(*asked(tmp_path / "b"))
    assert seen.code == piped.code
    assert stage in seen.out
    assert "\x1b[2K" in seen.out
    assert stage not in piped.said
    assert "\x1b" not in piped.said


def test_a_backup_is_restored_with_a_bar(loaded, tmp_path):
    jointmap("backup", loaded, "--out", tmp_path / "b.zip")
    seen = on_terminal("restore", tmp_path / "b.zip", tmp_path / "again")
    assert seen.code == 0
    assert "copying the register" in seen.out
    assert "checking rows" in seen.out
