"""A format that a command does not write is refused, before anything is written."""

import re

import pytest

from tests.command_line import COMMANDS, jointmap, with_site
from tests.small_site import WHO

ON = ("--on", "2026-05-15")
# Every command that is told where or how to write: its words, a format it knows not,
# and what it says that it would accept.
ASKED = {
    "due": [("--format", "xml", "table, csv, json")],
    "findings": [("--format", "json", "table, csv")],
    "boundary": [("B-1", "--out", "b.docx", ".html, .pdf")],
    "dossier": [("J-1", "--out", "j.pdf", ".html"), ("J-1", "--out", "j", ".html")],
    "map": [("--out", "map.svg", ".html, .htm"), ("--out", "map.PDF", ".html")],
    "model predicted": [("--out", "p.csv", ".html")],
    "export": [("--out", "e.xlsx", ".csv, .geojson, .gpkg, .gpx"),
               ("--out", "e", ".csv")],
    "backup": [("--out", "b.gz", ".zip")],
    "worksheet": [("J-1", "--out", "w.xlsx", ".pdf, .html")],
    "month": [("2026-06", "--out", "june.pdf", "the name of a folder")],
    "publish": [("--out", "pages.html", "the name of a folder")],
    "handover": [("--out", "sent.csv", "the name of a folder")],
}  # fmt: skip
SHAPE = (
    r"value '(?P<asked>[^']+)': this command writes no (\S+|file without an ending);"
    r" accepted for (--out|--format): (?P<accepted>.+)"
)
CASES = [(name, *case) for name, cases in ASKED.items() for case in cases]


@pytest.mark.parametrize("case", CASES, ids=" ".join)
def test_another_format_is_refused(loaded, tmp_path, monkeypatch, case):
    monkeypatch.chdir(tmp_path)
    name, *words, accepted = case
    on = () if name == "backup" else ON
    ran = jointmap(*with_site([*name.split(), *words, *on], loaded))
    assert ran.code == 2, ran
    # One sentence for all, whatever is asked for in a format and how.
    (line,) = ran.err.splitlines()
    told = re.fullmatch(SHAPE, line)
    assert told, line
    assert accepted in told["accepted"]
    assert ran.out == ""
    assert not any(tmp_path.iterdir())


def test_every_command_that_writes_is_asked():
    found = {
        name
        for name, command in COMMANDS.items()
        if {"--out", "--format"} & {o for p in command.params for o in p.opts}
    }
    assert found == set(ASKED)


@pytest.mark.parametrize("name", ["june.2026", "v1.2", "x"])
def test_a_folder_may_be_called_anything_else(loaded, tmp_path, name):
    out = tmp_path / name
    assert jointmap("handover", loaded, *ON, "--out", out).code in {0, 1}
    assert (out / "handover.html").is_file()


def test_a_month_that_leaves_out_what_is_due_ends_with_1(loaded, tmp_path):
    out = tmp_path / "month"
    ran = jointmap("month", loaded, "2026-06", *ON, "--out", out, COLUMNS="")
    assert ran.code == 1
    first, *table = ran.out.splitlines()
    assert first.startswith("2026-06: 0 stops on 0 crew days; ")
    assert any("No crew" in line or "crew" in line for line in table)
    assert ran.out.endswith(f"{out / 'index.html'}\n")
    before = ("--on", "2016-05-01", "--out", tmp_path / "early")
    early = jointmap("month", loaded, "2016-06", *before)
    assert early.code == 0, early


def test_a_month_that_is_over_is_refused_and_nothing_written(loaded, tmp_path):
    out = tmp_path / "month"
    ran = jointmap("month", loaded, "2026-04", *ON, "--out", out)
    assert ran.code == 2
    assert "accepted: 2026-05 or a later month" in ran.err
    assert not out.exists()


def test_load_ends_with_what_is_open_and_what_is_next(site, tmp_path):
    sheet = tmp_path / "joints.csv"
    head = "tag,boundary,area,state\n"
    sheet.write_text(f"{head}J-7,B-1,East,in duty\n", encoding="utf-8")
    for more, command in ((("--dry-run",), "load it without --dry-run"), ((), None)):
        ran = jointmap("load", site, sheet, *WHO, *more)
        assert ran.code == 0, ran
        *_, device, place, _, last = (line.strip() for line in ran.out.splitlines())
        assert "without a device fitted now: 1 of 1 (devices.csv)" in device
        assert "without a place on the map: 1 of 1" in place
        assert last == f"next: {command or f'jointmap findings {site}'}"
    again = jointmap("load", site, sheet, *WHO)
    assert again.out.splitlines()[1:] == [f"next: jointmap due {site}"]
