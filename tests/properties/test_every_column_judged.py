"""A column whose correction changes a verdict, a date or a finding is told of.

Each column of each kind is changed in every record of the sample at once, in a
transaction that is thrown away, and the site is judged before and after. What changes
an answer must be in ``JUDGED_BY``, or be told of otherwise and stand here with the way.
"""

import datetime as dt
import shutil
from collections import Counter
from dataclasses import replace
from enum import StrEnum

import pytest

from jointmap.assessment.assess import assess
from jointmap.assessment.recorded_tests import RecordedTests
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.errors import Refused
from jointmap.findings.every_finding import all_findings
from jointmap.register import FORMS
from jointmap.register.columns_judged import JUDGED_BY
from jointmap.register.fields import ABOUT_THE_ROW
from jointmap.register.rights.needed import LAW
from jointmap.register.told import Told
from jointmap.snapshot.snapshot import Snapshot, snapshot_of
from jointmap.storage.chain.entries import Said
from jointmap.storage.database import trying
from jointmap.storage.reading import begin_reading
from jointmap.storage.writing import Writing
from jointmap.workflows.opening import open_site

ON = dt.date(2026, 5, 15)
NOW = dt.datetime(2026, 5, 15, 12, tzinfo=dt.UTC)
# Told of by findings of their own, or never corrected.
TOLD_OTHERWISE = {
    **dict.fromkeys(LAW, "each change of a rule is a finding until it is seen"),
    "decision": "what was decided is not corrected",
    "held": "is decided, not corrected: the decision names who and why",
    "attachment": "a file is kept as sent",
    "photo_place": "a camera's word; no sheet brings one",
    "altered": "comes with the new value of what it was of, which is told",
}


# Columns that may change an answer, and are told of otherwise.
EXPLAINED = {
    "joint": {
        "tag": "is renamed, which keeps the name that doubts and sheets hold",
        "state": "comes with a decision, or begins the duty of a planned joint",
    },
    "boundary": {
        "joined_from_on": "comes with a decision of two",
        "joined_until_on": "comes with a decision of two",
        "joined_by": "comes with a decision of two",
    },
    "position": {
        "subject": "a position is of one thing, and stays it",
        "subject_id": "a position is of one thing, and stays it",
    },
    "person": {
        "code": "a code is never another's; roles of approvers are told",
        "role": "roles of approvers are told, the others carry no approval",
    },
}


@pytest.fixture(scope="module")
def site(demo, tmp_path_factory):
    folder = tmp_path_factory.mktemp("columns") / "site"
    made = open_site(shutil.copytree(demo / "site", folder))
    yield made
    made.register.close()


def answers(state):
    """Return verdicts, dates and findings, with the days and numbers told in them."""
    found = assess(state.on_day(ON), ON)
    seen = SiteOnDay(found)
    told = Counter()
    for f in all_findings(seen, RecordedTests(seen)):
        if f.kind.id != "correction_unseen":
            told[f.kind.id, f.about.subject, f.about.id, f.on, *_plain(f.told)] += 1
    items, joints, bounds = found.items, found.joints, found.boundaries
    return {
        "findings": told,
        "dates": _rows(items, "subject", "subject_id", "last_allowed_on", "state"),
        "joints": _rows(joints, "joint_id", "verdict", "is_suspect", "reason"),
        "boundaries": _rows(
            bounds, "boundary_id", "state", "first_bad_on", "last_good_on"
        ),
    }


def _rows(table, *names):
    columns = [getattr(table, name).tolist() for name in names]
    return sorted(str(row) for row in zip(*columns, strict=True))


def _plain(told):
    """Return the id of what is told and its days and numbers; names go by ids."""
    yield told.id
    for value in told.values.values():
        if isinstance(value, Told):
            yield from _plain(value)
        elif isinstance(value, int | float | dt.date):
            yield str(value)


def judged_with(site, kind, names):
    """Return the answers where the named columns of every record are changed."""
    own = site.register.site_id, site.register.site_code, site.register.key
    with trying(site.register.engine) as connection:
        job = Writing(connection, *own)
        for id_, (_, old) in [*job.known(kind).by_id.items()]:
            new = old
            for column in FORMS[kind].columns:
                if column.name in names:
                    new = _with(new, column, other(column, getattr(old, column.name)))
            if new != old:
                job.revise(id_, new)
        job.finish(Said(NOW, "E1", "a trial", site.register.training_on))
        return answers(Snapshot(begin_reading(connection, site.register.site_id, None)))


def _with(record, column, value):
    try:
        return replace(record, **{column.name: value})
    except Refused:
        return record


def other(column, value):
    """Return another value that a column may hold."""
    if column.words is not None:
        return _other_word(column.words, value)
    if column.refers:
        return 1 if value != 1 else 2
    changed = {
        bool: lambda: not value,
        str: lambda: f"{value or ''}~",
        dt.date: lambda: (value or ON) - dt.timedelta(days=700),
        dt.datetime: lambda: value and value - dt.timedelta(days=700),
    }
    more = changed.get(column.type, lambda: column.type((value or 3) * 2 + 1))
    return more()


def _other_word(words: type[StrEnum], value):
    every = [*words]
    return every[(every.index(value) + 1) % len(every)] if value else every[0]


@pytest.fixture(scope="module")
def before(site):
    with snapshot_of(site.register) as state:
        return answers(state)


def not_listed(kind):
    """Return the columns of a kind that are said to change no answer."""
    known = {*ABOUT_THE_ROW, *JUDGED_BY.get(kind, ()), *EXPLAINED.get(kind, ())}
    return {c.name for c in FORMS[kind].columns} - known


@pytest.mark.parametrize("kind", sorted(set(FORMS) - set(TOLD_OTHERWISE)))
def test_a_column_that_is_not_listed_changes_no_answer(site, before, kind):
    assert judged_with(site, kind, not_listed(kind)) == before


@pytest.mark.parametrize(
    ("kind", "column"),
    [
        ("device", "removed_on"),
        ("lead", "state"),
        ("path", "removed_on"),
        ("certificate", "valid_until_on"),
        ("joint", "near_power_line"),
        ("installation", "pass_1_newton_metre"),
        ("source", "can_be_interrupted"),
    ],
)
def test_what_is_listed_does_change_one(site, before, kind, column):
    assert column in JUDGED_BY[kind]
    assert judged_with(site, kind, {column}) != before
