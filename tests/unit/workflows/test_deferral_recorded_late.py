"""A deferral that was recorded long after its day says so."""

import datetime as dt

import pytest

from jointmap.pages.due.page import due_text
from jointmap.workflows.why import why_text
from tests.opened_site import FIRST, ON, opened, sent
from tests.storage.samples import DAY

HEAD = (
    "number,decided_on,kind,person,second_person,subject,subject_key,why,authority,"
    "until_on\n"
)
LATER = FIRST + 100 * DAY  # 2026-04-20


@pytest.fixture
def site(tmp_path):
    made = opened(tmp_path)
    yield made
    made.register.close()


def put_off(site, decided_on, until_on, now=LATER):
    row = f"D-9,{decided_on},deferred,T1,A1,joint,J-2,no crew,head,{until_on}\n"
    assert sent(site, {"decisions.csv": HEAD + row}, now).is_clean


@pytest.mark.parametrize(
    ("decided_on", "until_on", "says"),
    [
        ("2025-07-01", "2026-06-30", "on 2025-07-01 (recorded only on 2026-04-20),"),
        ("2026-04-12", "2026-06-30", "on 2026-04-12 (recorded only on 2026-04-20),"),
        ("2026-04-13", "2026-06-30", "on 2026-04-13, authority"),
        ("2025-07-01", "2026-05-01", "on 2025-07-01 (recorded only on 2026-04-20),"),
    ],
)
def test_a_deferral_says_that_it_was_recorded_late(site, decided_on, until_on, says):
    put_off(site, decided_on, until_on)
    own = {"on": ON, "known": None}
    for text in (
        why_text(site, "J-2", **own),
        due_text(site, **own, until=None, form="csv"),
    ):
        assert says in " ".join(text.split())


def test_the_day_of_recording_is_the_day_at_the_site(site):
    at = dt.datetime(2026, 3, 10, 0, 30, tzinfo=dt.UTC)  # 2026-03-09 in the Azores
    put_off(site, "2026-03-02", "2026-06-30", at)
    assert "recorded only" not in why_text(site, "J-2", on=ON, known=None)
