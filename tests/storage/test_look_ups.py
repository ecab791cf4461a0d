"""Look-ups of single records: what they find on both databases, by which index."""

import datetime as dt
import re

import pytest
import sqlalchemy as sa

from jointmap.register import FORMS
from jointmap.register.codes import Scope, Stage, Subject
from jointmap.register.testing import PLACE_OF_SCOPE
from jointmap.storage import Register
from jointmap.storage.known import Known, known_of
from tests.storage.samples import (
    DAY,
    KEY,
    NOON,
    device,
    fill,
    first_delivery,
    joint,
    reading,
    structure,
    unasked,
)

ON = dt.date(2025, 7, 1)
# Kinds with few records, which are looked through; a site has one record.
SMALL = (
    "site",
    "line",
    "chainage",
    "crew",
    "day_off",
    "road",
    "rule",
    "limit",
    "model",
)
OF_WORD = {"scope": Scope.JOINT, "stage": Stage.ROUTINE, "subject": Subject.JOINT}


def a_key(kind):
    """A natural key of a kind, with values of the right types."""
    columns = {c.name: c for c in FORMS[kind].columns}
    made = {str: "x", int: 1, dt.date: ON}
    return tuple(
        OF_WORD.get(n, None if columns[n].nullable else made[columns[n].type])
        for n in FORMS[kind].key
    )


LOOK_UPS = {
    f"{kind} by key": (kind, "id_of", (a_key(kind),), {})
    for kind in FORMS
    if kind not in (*SMALL, "test")
}
LOOK_UPS |= {
    "test of a joint": ("test", "id_of", (reading(1, ON, 1e6).key(),), {}),
    "joint by id": ("joint", "current", (7,), {}),
    "devices of a joint": ("device", "having", (), {"joint_id": 1}),
    "alias by name": ("alias", "having", (), {"name": "x"}),
    "held of a record": ("held", "having", (), {"subject_key": "x"}),
    "joined on purpose": ("boundary", "filled", ("joined_from_on",), {}),
}
for scope in (Scope.BOUNDARY, Scope.PATH, Scope.SOURCE):
    place = {PLACE_OF_SCOPE[scope]: 1}
    key = reading(None, ON, 1e6, scope=scope, **place).key()
    LOOK_UPS[f"test of a {scope}"] = ("test", "id_of", (key,), {})


@pytest.fixture(scope="module")
def in_file(tmp_path_factory):
    """An empty register in a file: a server plans otherwise for tables of no rows."""
    place = tmp_path_factory.mktemp("plans") / "r.sqlite"
    made = Register.create(f"sqlite:///{place}", "X", KEY)
    yield made
    made.close()


@pytest.mark.parametrize("name", LOOK_UPS)
def test_an_index_finds_it(in_file, name):
    kind, method, given, named = LOOK_UPS[name]
    asked = []

    def note(_connection, _cursor, statement, parameters, *_):
        asked.append((statement, parameters))

    with in_file.engine.connect() as connection:
        known = known_of(connection, in_file.site_id, kind)
        sa.event.listen(in_file.engine, "before_cursor_execute", note)
        getattr(known, method)(*given, **named)
        sa.event.remove(in_file.engine, "before_cursor_execute", note)
        ((statement, parameters),) = asked
        query = f"EXPLAIN QUERY PLAN {statement}"
        plan = [row[3] for row in connection.exec_driver_sql(query, parameters)]
    # More than the site is asked of the index.
    assert len(plan) == 1
    assert re.fullmatch(r"SEARCH .* \(site_id=\? AND .*\)", plan[0]), plan


@pytest.mark.parametrize("in_bulk", [False, True], ids=["few", "bulk"])
def test_what_was_written_is_seen_and_what_was_replaced_is_not(register, in_bulk):
    fill(register, *first_delivery())
    with unasked(register, NOON + DAY, "P1", "second") as job:
        job.rows = 10**6 if in_bulk else 1
        devices, structures = job.known("device"), job.known("structure")
        assert devices.in_bulk is in_bulk
        assert [i for i, _ in devices.having(joint_id=1)] == [1]
        third = job.add(device(1, ON))
        job.revise(1, device(2, dt.date(2024, 1, 1)))
        assert [i for i, _ in devices.having(joint_id=1)] == [third]
        assert [i for i, _ in devices.having(joint_id=2)] == [1, 2]
        assert structures.id_of(("pipe",)) == 1
        job.revise(1, structure("tube"))
        assert structures.id_of(("pipe",)) is None
        assert structures.id_of(("tube",)) == 1
        assert structures.current(1)[0] == 2
        assert structures.current(9) is None
        with pytest.raises(KeyError):
            structures.record(None)
        job._flush()
        assert structures.id_of(("pipe",)) is None
        assert structures.id_of(("tube",)) == 1
        assert [i for i, _ in devices.having(joint_id=2)] == [1, 2]
        assert job.known("joint").words("area") == {"north"}
        assert job.known("path").is_empty
        assert not job.known("joint").is_empty


@pytest.mark.parametrize(
    ("new", "found"),
    [
        ("ij-1", {"IJ-1"}),
        ("IJ-2", {"IJ-2"}),
        ("\u0399\u0408-1", {"IJ-1"}),
        ("a b", {"a  B"}),
        ("c-1", {"\u0421-1"}),
        ("nothing", set()),
    ],
)
def test_names_that_may_look_alike_are_found(register, new, found):
    """Names of odd letters and blanks come along; of plain ones only the like."""
    fill(register, *first_delivery(), joint("a  B"), joint("\u0421-1"), joint("ab"))
    with register.engine.connect() as connection:
        known = known_of(connection, register.site_id, "joint")
        like = {tag for (tag,) in known.keys_like(tag=new)}
    odd = {"a  B", "\u0421-1"}
    assert like == found | odd


def test_a_kind_read_whole_holds_what_was_looked_up_and_written(register):
    fill(register, *first_delivery())
    with unasked(register, NOON + DAY, "P1", "second") as job:
        known: Known = job.known("structure")
        assert known.id_of(("pipe",)) == 1
        job.revise(1, structure("tube"))
        new = job.add(structure("third"))
        assert known.by_key == {("tube",): 1, ("plant",): 2, ("third",): new}
        assert known.id_of(("pipe",)) is None
        known.read_whole()
        assert [i for i, _ in known.having(name="third")] == [new]
        job.revise(new, structure("fourth"))
        assert known.having(name="third") == []
        assert known.id_of(("fourth",)) == new
