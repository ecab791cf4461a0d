"""What is told of a parallel path is one answer, wherever it is told."""

import datetime as dt

import pytest

from jointmap.pages.boundary.page import boundary_text
from tests.opened_site import findings, opened, shown

PATHS = "name,boundary,kind,state,fitted_on,checked_on\n"
PATHS += "P-1,B-1,{},{},2020-01-01,2026-01-05\n"
LOOKED = "scope,path,tested_on,method,stage,outcome,indication\n"
LOOKED += "parallel path,P-1,2026-03-05,look,routine,measured,{}\n"
BEFORE, AFTER = dt.date(2026, 2, 1), dt.date(2026, 5, 15)


def told(site, on):
    """Whether the finding, the paths and what is one metal say that it joins."""
    with shown(site, on) as showing:
        merged = bool(showing.joined[0])
    text = boundary_text(site, "B-1", on=on, known=None)
    (line,) = [n for n in text.splitlines() if n.startswith("  path P-1")]
    found = any(f[0] == "path_joining" for f in findings(site, on))
    return found, "joining" in line, merged


@pytest.mark.parametrize(
    ("kind", "state", "looked", "before", "after"),
    [
        ("support", "joining", "no short", (True, True), (False, False)),
        ("support", "apart", "short", (False, False), (True, True)),
        ("support", "joining", "short", (True, True), (True, True)),
    ],
)
def test_a_later_look_is_what_every_page_tells(
    tmp_path, kind, state, looked, before, after
):
    path, test = PATHS.format(kind, state), LOOKED.format(looked)
    site = opened(tmp_path, {"paths.csv": path}, {"tests.csv": test})
    assert told(site, BEFORE)[:2] == before
    assert told(site, AFTER)[:2] == after
    site.register.close()


@pytest.mark.parametrize(("looked", "merged"), [("no short", False), ("short", True)])
def test_a_bond_found_open_makes_no_one_metal(tmp_path, looked, merged):
    path, test = PATHS.format("bond on purpose", "joining"), LOOKED.format(looked)
    site = opened(tmp_path, {"paths.csv": path}, {"tests.csv": test})
    assert told(site, BEFORE)[2] is True
    assert told(site, AFTER)[2] is merged
    site.register.close()


def test_a_path_nobody_looked_at_has_no_last_look(tmp_path):
    """The day it was fitted is none, in the finding as in the list of paths."""
    path = PATHS.format("support", "joining").replace("2026-01-05", "")
    site = opened(tmp_path, {"paths.csv": path})
    (found,) = [f[2] for f in findings(site, AFTER) if f[0] == "path_joining"]
    assert "last looked at on an unknown day" in found
    site.register.close()
