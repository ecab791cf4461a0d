"""Each finder has a case in which it fires and one, hardly different, in which not."""

import tomllib
from pathlib import Path

import pytest

from tests.opened_site import every_finding, opened

CASES = tomllib.loads(Path(__file__).with_name("finder_cases.toml").read_text("utf-8"))

# What stands, or what nobody wrote a day to.
WITHOUT_A_DAY = {
    "design_arc", "design_arc_prevented", "design_floating_ship", "design_joined",
    "design_one_source", "design_lining", "design_lining_of_one_side", "design_surge",
    "design_surge_beside", "design_test_point",
    "floating", "inside_water", "no_basis", "no_first_day", "no_purpose",
    "path_joining", "section_current",
}  # fmt: skip


def found(case, folder, kind, *, less):
    deliveries = [dict(case[name]) for name in ("more", "then") if name in case]
    if less:
        old, new = case["less"]
        assert any(old in text for sheets in deliveries for text in sheets.values())
        deliveries = [
            {name: text.replace(old, new) for name, text in sheets.items()}
            for sheets in deliveries
        ]
    site = opened(folder, *deliveries)
    every = every_finding(site)
    site.register.close()
    wanted = case.get("kind", kind)
    return [f for f in every if f.kind == wanted]


@pytest.mark.parametrize("kind", CASES)
def test_fires(tmp_path, kind):
    case = CASES[kind]
    told = found(case, tmp_path, kind, less=False)
    here = [
        f for f in told if f.subject.text == case["at"] and case["says"] in f.sentence
    ]
    assert here, told
    assert all(f.on is not None for f in here) != (kind in WITHOUT_A_DAY), here


@pytest.mark.parametrize("kind", CASES)
def test_does_not_fire(tmp_path, kind):
    case = CASES[kind]
    told = found(case, tmp_path, kind, less=True)
    assert [
        f for f in told if f.subject.text == case["at"] and case["says"] in f.sentence
    ] == []
