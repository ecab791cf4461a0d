"""Each kind has a case in which it fires and one, hardly different, in which not."""

import datetime as dt
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from jointmap.findings.every_finding import ALL_FINDERS, kinds_of
from jointmap.findings.kind import Gravity
from jointmap.register import Person
from jointmap.register.codes import DecisionKind
from jointmap.wording import say
from jointmap.wording.families import SENTENCES
from tests.attached_files import attached
from tests.opened_site import FIRST, ON, every_finding, opened
from tests.pictures_made import photo
from tests.roles_site import decision
from tests.storage.samples import DAY, unasked

CASES = tomllib.loads(Path(__file__).with_name("finder_cases.toml").read_text("utf-8"))

# What stands, or what nobody wrote a day to.
KINDS = {kind.id: kind for kind in kinds_of(ALL_FINDERS)}
WITHOUT_A_DAY = {
    "design_arc", "design_arc_prevented", "design_bridged_ship",
    "design_floating_ship_bonded",
    "design_floating_ship", "design_joined",
    "design_one_source", "design_lining", "design_lining_of_one_side", "design_surge",
    "design_surge_beside", "design_test_point",
    "floating", "inside_water", "no_basis", "no_first_day", "no_purpose",
    "path_joining", "role_unknown", "section_current",
}  # fmt: skip


def _of_no_role(job, role):
    job.add(Person(code="Q", role=role))


def _fitted_on(job, day):
    id_, (_, old) = next(iter(job.known("device").by_id.items()))
    job.revise(id_, replace(old, fitted_on=dt.date.fromisoformat(day)))


def _put_off(job, tag):
    until = {"authority": "head", "until_on": ON + 30 * DAY}
    about = DecisionKind.DEFERRED, "joint", tag
    job.add(replace(decision("D-1", *about, **until), person_id=1, second_person_id=2))


KEPT = {
    "role_unknown": _of_no_role,
    "before_fitting": _fitted_on,
    "deferral_unknown": _put_off,
}


def found(case, folder, kind, *, less):
    site = opened(folder, *sheets_of(case, less=less))
    if "kept" in case:
        with unasked(site.register, FIRST + DAY, "T1", "of an older program") as job:
            KEPT[kind](job, without(case, case["kept"], less=less))
    if "photo" in case:
        latitude = tuple(map(int, without(case, case["photo"], less=less).split(",")))
        attached(site, folder, "p.jpg", photo(latitude=latitude))
    every = every_finding(site)
    site.register.close()
    wanted = case.get("kind", kind)
    return [f for f in every if f.kind == wanted]


def sheets_of(case, *, less):
    """Return the deliveries of a case, changed so that it does not fire if ``less``."""
    sent = [case[name] for name in ("more", "then") if name in case]
    other = [case[name] for name in ("photo", "kept") if name in case]
    texts = [*other, *(t for sheets in sent for t in sheets.values())]
    assert any(case["less"][0] in text for text in texts)
    return [
        {name: without(case, text, less=less) for name, text in sheets.items()}
        for sheets in sent
    ]


def without(case, text, *, less):
    return text.replace(*case["less"]) if less else text


def test_every_kind_has_a_case():
    named = {case.get("kind", kind) for kind, case in CASES.items()}
    assert named == set(KINDS)
    assert set(KINDS) <= set(CASES), "a case called as its kind: it is the example"


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_says_what_it_asks_and_what_to_do(kind):
    own = KINDS[kind]
    for family in ("finding", "finding_asks", "finding_fires", "finding_next"):
        assert "not given" not in say(f"{family}.{kind}", own.numbers)
    assert say(f"finding_asks.{kind}").endswith("?")
    assert say(f"finding_source.{own.source}")
    assert say(f"gravity.{own.gravity.name.lower()}")


def test_nothing_is_said_of_what_is_no_kind():
    families = ("finding.", "finding_asks.", "finding_fires.", "finding_next.")
    assert {i.split(".")[1] for i in SENTENCES if i.startswith(families)} == set(KINDS)


def test_what_can_hurt_and_what_is_broken_comes_first():
    first = [kind for kind, own in KINDS.items() if own.gravity is Gravity.ACT_TODAY]
    assert [*KINDS][: len(first)] == first
    assert {"ac_over_limit", "boundary_shorted", "past_limit"} <= set(first)


@pytest.mark.parametrize("kind", CASES)
def test_fires(tmp_path, kind):
    case = CASES[kind]
    told = found(case, tmp_path, kind, less=False)
    here = [
        f for f in told if f.subject.text == case["at"] and case["says"] in f.sentence
    ]
    assert here, told
    assert all(f.on is not None for f in here) != (kind in WITHOUT_A_DAY), here
    own = KINDS[case.get("kind", kind)]
    assert {f.gravity for f in here} == {own.gravity.name.lower()}
    assert all(f.next_step and f.source for f in here)


@pytest.mark.parametrize("kind", CASES)
def test_does_not_fire(tmp_path, kind):
    case = CASES[kind]
    told = found(case, tmp_path, kind, less=True)
    assert [
        f for f in told if f.subject.text == case["at"] and case["says"] in f.sentence
    ] == []
