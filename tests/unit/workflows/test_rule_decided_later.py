"""A rule that holds from an earlier day than the one on which it was decided."""

import datetime as dt

import pytest

from jointmap.changes.change import Change
from jointmap.changes.revise import revise
from jointmap.snapshot.odd_records import odd_records
from jointmap.snapshot.snapshot import snapshot_of
from jointmap.workflows.publish import write_pages
from tests.opened_site import FIRST, opened
from tests.storage.samples import DAY

RULE = "catalogue,name,from_on\nrules,owner-protection-normal,2024-03-01\n"
LATER = FIRST + 100 * DAY


@pytest.fixture
def site(tmp_path):
    made = opened(tmp_path, {"adopted.csv": RULE})
    change = Change(LATER.date(), LATER, "T1", "shorter", "A1")
    revise(made, "rule", "owner-protection-normal 2024-03-01", {"months": "11"}, change)
    yield made
    made.register.close()


def test_its_pages_of_a_day_before_the_decision_name_it(site, tmp_path):
    before = LATER.date() - DAY
    write_pages(site, tmp_path / "out", on=before, known=None)
    page = (tmp_path / "out" / "sources.html").read_text(encoding="utf-8")
    assert f"adopted owner-protection-normal {LATER.date()}" in page


def test_no_record_is_odd_for_the_day_that_is_asked_about(site):
    with snapshot_of(site.register) as state:
        assert odd_records(state) == []
        assert odd_records(state.on_day(dt.date(2025, 1, 1))) == []
