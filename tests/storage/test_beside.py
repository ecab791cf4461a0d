"""Rows that lie beside others: what is found on both databases, and by which index."""

import datetime as dt

import pytest
import sqlalchemy as sa

from jointmap.register import Boundary, Installation, IsolationTest, Joint, Position
from jointmap.register.codes import Subject
from jointmap.storage import Register
from jointmap.storage.beside import ids_between, names_alike, referred, visits_before
from tests.storage.samples import (
    DAY,
    KEY,
    NOON,
    boundary,
    fill,
    first_delivery,
    joint,
    reading,
    structure,
)

ON = dt.date(2025, 7, 1)
MINUTE = dt.timedelta(minutes=1)


def position(joint_id, latitude):
    facts = {"subject": Subject.JOINT, "subject_id": joint_id, "captured_x": "1"}
    facts |= {"captured_y": "2", "captured_crs": "EPSG:4326", "captured_on": ON}
    return Position(**facts, latitude_deg=latitude, longitude_deg=2.0)


def test_what_records_refer_to(register):
    fill(register, *first_delivery(), structure("third"), boundary("B2", 2, 3))
    with register.read() as state:
        assert referred(state, Boundary, [2]) == {"structure": {2, 3}}
        assert referred(state, Boundary, []) == {}
        tests = referred(state, IsolationTest, [1, 2])
        assert tests["joint"] == {1, 2}
        assert tests["person"] == tests["path"] == set()


def test_places_between_two_latitudes(register):
    fill(register, *first_delivery(), position(1, 31.0), position(2, 32.0))
    with register.read() as state:
        found = ids_between(state, Position, "latitude_deg", 31.5, 32.0)
        assert found == [2]
        one = ids_between(state, Position, "latitude_deg", 30.0, 33.0, subject="crew")
        assert one == []


def test_names_that_differ_in_the_case_of_letters(register):
    fill(register, *first_delivery(), joint("ij-1"), joint("ij-3"))
    with register.read() as state:
        part = state.part({Joint: [3]})
        assert names_alike(part, Joint, "tag", ["ij-1"]) == ["IJ-1", "ij-1"]
        assert names_alike(part, Joint, "tag", []) == []


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        (4, {3, 4, 5}),  # both of its instant, and the one before
        (3, {3}),  # the first: another person's does not come before
        (6, {6}),
        (1, set()),  # without an instant
    ],
)
def test_tests_that_a_person_made_before(register, asked, found):
    def at(joint_id, minute, person):
        instant = NOON - 99 * DAY + minute * MINUTE
        facts = {"tested_at": instant, "person_id": person, "stud": minute}
        return reading(joint_id, ON + DAY, 1e6, **facts)

    first = first_delivery()[:-1]  # one test, of no instant
    more = [at(2, 0, None), at(1, 1, 1), at(2, 5, 1), at(1, 5, 1), at(1, 2, 2)]
    fill(register, *first, *more)
    with register.read() as state:
        assert visits_before(state, [asked]) == found


def test_each_is_found_by_an_index(tmp_path):
    register = Register.create(f"sqlite:///{tmp_path}/r.sqlite", "X", KEY)
    fill(register, *first_delivery(), position(1, 31.0))
    asked = []

    def note(_connection, _cursor, statement, parameters, *_):
        asked.append((statement, parameters))

    with register.read() as state:
        sa.event.listen(register.engine, "before_cursor_execute", note)
        ids_between(state, Position, "latitude_deg", 31.5, 32.0)
        visits_before(state, [2])
        state.ids_with(Installation, "fitter_id", [1], installed_on=str(ON))
        names_alike(state, Joint, "tag", ["x"])
        sa.event.remove(register.engine, "before_cursor_execute", note)
        plans = [_plan(state.connection, *each) for each in asked]
    register.close()
    assert [plan for plan in plans if "SEARCH record_" not in plan] == []


def _plan(connection, statement, parameters):
    rows = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters)
    return "; ".join(row[3] for row in rows)
