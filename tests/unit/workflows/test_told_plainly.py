"""Sentences that say once, and fit, what was asked."""

import datetime as dt

import pytest

from jointmap.changes.change import Change
from jointmap.cli import main
from jointmap.errors import WrongUse
from jointmap.workflows.defer import Asked, defer
from tests.opened_site import FIRST, ON, opened, sent

LATER = FIRST + dt.timedelta(days=90)
PLACED = "tag,boundary,area,state,latitude,longitude\n"


def ended(*words):
    """Run a command in this process; return what it ended with."""
    with pytest.raises(SystemExit) as end:
        main([*map(str, words)])
    return end.value.code


def test_a_row_that_is_refused_is_told_once_though_it_has_a_place(tmp_path):
    site = opened(tmp_path)
    rows = "J-8,B-9,East,fitted,31.4,-41.9\nJ-1,B-9,East,in duty,31.45,-41.95\n"
    rows += "J-7,B-1,East,fitted,31.4,-41.9\n"
    report = sent(site, {"joints.csv": PLACED + rows}, LATER)
    site.register.close()
    told = [(p.id, p.line, p.column, p.value) for p in report.refused]
    assert told == [
        ("row.unknown_reference", 2, "boundary", "B-9"),
        ("row.unknown_reference", 3, "boundary", "B-9"),
    ]
    assert report.held == []
    assert (report.accepted["joint"], report.accepted["position"]) == (1, 1)


def test_the_nearest_names_are_told_as_they_are_written(tmp_path):
    site = opened(tmp_path)
    asked = Asked("J-9", "", "head", dt.date(2026, 9, 1))
    with pytest.raises(WrongUse) as wrong:
        defer(site, asked, Change(ON, LATER, "T1", "gate frozen", "A1"))
    site.register.close()
    (problem,) = wrong.value.problems
    assert problem.id == "defer.unknown"
    near = str(problem.values["nearest"]).split(", ")
    assert {"J-1", "J-2"} <= set(near)


def test_early_says_that_too_few_kits_are_on_record(tmp_path, capsys):
    site = opened(tmp_path)
    site.register.close()
    assert ended("model", "early", site.path, "--on", ON) == 0
    told = capsys.readouterr().out
    assert told.startswith("2 flange kits are on record: too few to compare.")


def test_ctrl_c_ends_with_130_and_a_sentence(tmp_path, monkeypatch, capsys):
    site = opened(tmp_path)
    site.register.close()

    def stopped(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr("jointmap.pages.due.page.due_shown", stopped)
    assert ended("due", site.path, "--on", ON) == 130
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("stopped by Ctrl-C before the end: what was not told as")
    assert "Aborted" not in told.err


def test_ctrl_c_while_it_is_told_says_that_it_is_on_record(
    tmp_path, monkeypatch, capsys
):
    site = opened(tmp_path)
    site.register.close()
    sheet = tmp_path / "test_points.csv"
    sheet.write_text("name,joint\nTP-5,J-1\n", encoding="utf-8")

    def stopped(*_, **__):
        yield "test points: 1 accepted"
        raise KeyboardInterrupt

    monkeypatch.setattr("jointmap.changes.telling.told", stopped)
    # The output of a test has no number of a file.
    monkeypatch.setattr("jointmap.cli.options.drop_what_waits", lambda _: None)
    who = ("--by", "T1", "--reason", "a test point", "--clock-is-right")
    code = ended("load", site.path, sheet, *who)
    told = capsys.readouterr().err
    assert code == 130, told
    assert "stopped by Ctrl-C" in told
    assert "on record" in told
