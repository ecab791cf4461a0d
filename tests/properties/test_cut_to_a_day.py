"""Facts dated after a day change no answer about that day.

The register with later rows taken out and later ends emptied is asked about the day,
and so is the whole register: every published page is the same. Entries are not touched
by the cut, so that entry number, fingerprint and "as known on" are the same as well.
"""

import datetime as dt
import re
import shutil

import numpy as np
import pytest
import sqlalchemy as sa
from numpy.random import default_rng  # noqa: TID251 (a seed comes in)

from jointmap.pages.asked import assessed
from jointmap.pages.shelf import Shelf
from jointmap.pages.showing import Showing
from jointmap.register import FORMS, Joint, Limit
from jointmap.register.dated import DATED
from jointmap.storage.as_columns.arrays import read_arrays
from jointmap.storage.guard import take_guard
from jointmap.storage.schema import table_of
from jointmap.workflows.opening import open_site
from jointmap.workflows.publish import every_page
from tests.opened_site import opened
from tests.woven_site import woven_site

pytestmark = pytest.mark.unmeasured

DAYS = [dt.date(2019, 1, 1), dt.date(2022, 1, 1), dt.date(2025, 6, 1)]

# Written by hand, not from the program's table: what dates a kind, and what reads
# otherwise on a day before the one in a column (that column last).
THERE = {
    "alias": "from_on",
    "altered": "until_on",
    "certificate": "valid_from_on",
    "chainage": "measured_on",
    "decision": "decided_on",
    "device": "fitted_on",
    "held": "sent_on",
    "installation": "installed_on",
    "lead": "proved_on",
    "limit": "from_on",
    "model": "from_on",
    "occurrence": "happened_on",
    "path": "fitted_on",
    "qualification": "valid_from_on",
    "rule": "from_on",
    "test": "tested_on",
}
# What tells of what is known, and not of a day.
ALWAYS = {"decision": ("kind", "seen")}
LATER = [
    ("alias", "until_on", {"until_on": None}),
    ("boundary", "joined_from_on", {"joined_by": "", "joined_until_on": None}),
    ("boundary", "joined_from_on", {"joined_from_on": None}),
    ("device", "removed_on", {"removed_on": None}),
    ("joint", "out_of_duty_on", {"state": "in duty"}),
    ("joint", "out_of_duty_on", {"out_of_duty_on": None}),
    ("limit", "until_on", {"until_on": None}),
    ("path", "removed_on", {"removed_on": None}),
    ("path", "checked_on", {"state": "not known"}),
    ("path", "checked_on", {"checked_on": None}),
    ("rule", "until_on", {"until_on": None}),
]


def cut(site, on):
    """Take out of a register what came after a day, and what later days made."""
    with site.register.engine.begin() as connection:
        take_guard(connection, [table_of(kind) for kind in FORMS])
        for kind, name in THERE.items():
            table = table_of(kind)
            later = table.c[name] > on.isoformat()
            if kind in ALWAYS:
                column, word = ALWAYS[kind]
                later &= table.c[column] != word
            if kind == "altered":
                _as_it_was(connection, later)
            connection.execute(sa.delete(table).where(later))
        connection.execute(_looks_replaced(on))
        for kind, name, values in LATER:
            table = table_of(kind)
            later = table.c[name] > on.isoformat()
            connection.execute(sa.update(table).where(later).values(values))


def _as_it_was(connection, later):
    """Put back what was altered later: of several alterations the first tells."""
    table = table_of("altered")
    query = sa.select(table).where(later, table.c.superseded_by.is_(None))
    for row in connection.execute(query.order_by(table.c.until_on.desc())).mappings():
        own = table_of(row["subject"])
        value = row["was_boundary_id"] or row["was_structure_id"] or row["was"]
        this = (own.c.id == row["subject_id"]) & own.c.superseded_by.is_(None)
        now = {"yes": 1, "no": 0}.get(value, value)
        connection.execute(sa.update(own).where(this).values({row["column"]: now}))


def _looks_replaced(on):
    """Take out what a look of a later day replaced: that is no correction.

    Without that day it would read as one.
    """
    table = table_of("path")
    newer = table.alias()
    looked_again = sa.exists().where(
        newer.c.id == table.c.id,
        newer.c.revision > table.c.revision,
        newer.c.checked_on > on.isoformat(),
    )
    return sa.delete(table).where(looked_again)


@pytest.fixture(scope="module")
def whole(demo):
    site = open_site(demo / "site")
    yield site
    site.register.close()


@pytest.fixture(scope="module", params=DAYS, ids=str)
def day(request, demo, tmp_path_factory):
    """A day, and the sample site without what came later."""
    folder = tmp_path_factory.mktemp("cut") / "site"
    site = open_site(shutil.copytree(demo / "site", folder))
    cut(site, request.param)
    yield request.param, site
    site.register.close()


def answers(site, on):
    with assessed(site, on, None) as (found, frame):
        showing = Showing(found, frame)
        pages = every_page(showing, Shelf(showing, site), [])
        return {name: without_what_changed(page) for name, page in pages}


def without_what_changed(page):
    """Put aside what the first page tells of a state of knowledge of before.

    The cut takes out revisions that were replaced, which such a state still holds.
    """
    return re.sub(r'<h2 id="changed">.*?(?=<h2>)', "", page, flags=re.DOTALL)


def test_each_kind_says_what_dates_it():
    assert set(DATED) == set(FORMS)
    dating = {kind: d.there_from for kind, d in DATED.items() if d.there_from}
    assert dating == THERE
    assert {kind: d.always for kind, d in DATED.items() if d.always} == ALWAYS
    changing = {(k, t.after, n) for k, d in DATED.items() for n, t in d.then.items()}
    assert changing == {(k, after, n) for k, after, values in LATER for n in values}


def test_later_facts_change_no_page_of_the_sample(whole, day):
    on, shorter = day
    expected, found = answers(whole, on), answers(shorter, on)
    differing = [name for name in expected if expected[name] != found.get(name)]
    assert (differing, found.keys() - expected.keys()) == ([], set())


def differing(site, shorter, on):
    """Return the pages of a day that a site tells otherwise when it is cut."""
    cut(shorter, on)
    expected, found = answers(site, on), answers(shorter, on)
    shorter.register.close()
    return [n for n in {*expected, *found} if expected.get(n) != found.get(n)]


def test_later_facts_change_no_page_on_any_day(whole, tmp_path, count):
    chance = default_rng(12)
    for number in range(count(1, 30)):
        on = dt.date(2016, 1, 1) + dt.timedelta(days=int(chance.integers(3_780)))
        shorter = open_site(shutil.copytree(whole.path, tmp_path / str(number)))
        assert differing(whole, shorter, on) == [], on


def test_later_facts_change_no_page_of_a_woven_site(tmp_path, count):
    for seed in range(count(2, 25)):
        folders = tmp_path / f"{seed}", tmp_path / f"{seed}-cut"
        for folder in folders:
            folder.mkdir()
        site, shorter = (woven_site(folder, seed) for folder in folders)
        on = dt.date(2019 + seed % 7, 1 + seed % 12, 15)
        assert differing(site, shorter, on) == [], (seed, on)
        site.register.close()


@pytest.mark.parametrize("kind", FORMS)
def test_records_and_columns_of_a_day_are_those_of_the_cut(whole, day, kind):
    on, shorter = day
    record, names = FORMS[kind].record, [c.name for c in FORMS[kind].columns]
    with whole.register.read() as all_, shorter.register.read() as cut_:
        state = all_.on_day(on)
        assert state.records(record) == cut_.records(record)
        own, other = read_arrays(state, record, names), read_arrays(cut_, record, names)
        for name in own:
            np.testing.assert_array_equal(own[name], other[name], err_msg=name)


# What nothing in the sample comes later of; the first two are below.
NO_WITNESS = {"altered", "joint", "limit", "model"}


@pytest.mark.parametrize("kind", sorted({*THERE, *(kind for kind, *_ in LATER)}))
def test_the_sample_has_something_of_each_that_came_later(whole, kind):
    record = FORMS[kind].record
    with whole.register.read() as state:
        now = state.records(record)
        changed = [d for d in DAYS if state.on_day(d).records(record) != now]
    assert bool(changed) != (kind in NO_WITNESS)


def test_a_joint_that_left_duty_later_and_a_limit_of_later(tmp_path):
    decided = "number,decided_on,kind,person,second_person,subject,subject_key,why\n"
    site = opened(
        tmp_path,
        {
            "joints.csv": "tag,boundary,area,state,in_duty_on,out_of_duty_on,"
            "correction_reason\nJ-2,B-1,East,removed,2020-01-10,2026-02-01,rerouted\n",
            "decisions.csv": f"{decided}D-1,2026-02-01,released,T1,A1,joint,J-2,why\n",
            "adopted.csv": "catalogue,name,from_on\nlimits,AC stop 15 V,2026-02-01\n",
        },
    )
    read = {}
    with site.register.read() as state:
        for day in (31, 32):
            on = dt.date(2025, 12, 31) + dt.timedelta(days=day)
            then = state.on_day(on)
            joint, limits = then.records(Joint)[2], then.records(Limit).values()
            told = str(joint.state), joint.out_of_duty_on
            read[on.day] = *told, any(limit.name == "AC stop 15 V" for limit in limits)
    site.register.close()
    assert read == {
        31: ("in duty", None, False),
        1: ("removed", dt.date(2026, 2, 1), True),
    }
