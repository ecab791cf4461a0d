"""What is written can be read, as known now and as known then; nothing is lost."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
import sqlalchemy as sa

from jointmap.errors import BrokenRegister, Refused, WrongUse
from jointmap.register import FORMS, Boundary, Site, Structure
from jointmap.register.codes import Purpose, StructureKind
from jointmap.storage import Register
from jointmap.storage.as_columns.arrays import read_arrays
from jointmap.storage.database import open_engine, reading
from jointmap.storage.schema import ENTRIES, table_of
from tests.storage.samples import person, unasked

NOON = dt.datetime(2026, 1, 1, 12, tzinfo=dt.UTC)
DAY = dt.timedelta(days=1)


@pytest.fixture
def register(tmp_path):
    """An empty register of site X in a SQLite file, closed at the end."""
    made = Register.create(f"sqlite:///{tmp_path}/r.sqlite", "X", b"k" * 32)
    yield made
    made.close()


def site(**more):
    facts = {"code": "X", "name": "Site X", "time_zone": "Atlantic/Azores"}
    return Site(**facts, working_crs="EPSG:32623", **more)


def structure(name, **more):
    return Structure(name=name, kind=StructureKind.MAINS, is_protected=True, **more)


def fill(register, *records, now=NOON, reason="first delivery"):
    with unasked(register, now, "P1", reason) as job:
        return [job.add(r) for r in records]


def test_every_kind_has_a_table_with_the_leading_columns():
    lead = ["site_id", "id", "revision", "entry", "position", "leaf", "superseded_by"]
    for kind in FORMS:
        assert [c.name for c in table_of(kind).columns][: len(lead)] == lead


def test_ids_run_from_one_and_entries_are_chained(register):
    ids = fill(register, site(), structure("a"), structure("b"))
    fill(register, structure("c"), now=NOON + DAY)
    assert ids == [1, 1, 2]
    with register.read() as state:
        assert list(state.records(Structure)) == [1, 2, 3]
        first, second = state.entries
        assert second.previous == first.hash
        assert (first.entry, first.row_count, second.row_count) == (1, 3, 1)
        assert state.last.fingerprint == f"2-{second.hash.hex()}"


def test_a_transaction_without_rows_is_no_entry(register):
    fill(register, site())
    fill(register)
    with register.read() as state:
        assert len(state.entries) == 1


def test_a_failed_transaction_leaves_nothing(register):
    fill(register, site())
    with pytest.raises(Refused):
        fill(register, structure("a"), structure("b"), reason=None)
    with register.read() as state:
        assert not state.records(Structure)


def test_try_out_keeps_nothing(register):
    fill(register, site(), person("P1"))
    with register.write(NOON, "P1", "try", keeps=False) as job:
        job.add(structure("a"))
    with register.read() as state:
        assert not state.records(Structure)


def test_revisions_keep_the_old_value_and_known_tells_it(register):
    fill(register, site(), structure("a", remark="old"))
    with unasked(register, NOON + 5 * DAY, "P1", "correction") as job:
        record = job.known("structure").by_id[1][1]
        assert job.revise(1, replace(record, remark="new")) == 2
    with register.read() as state:
        assert state.records(Structure)[1].remark == "new"
        both = state.revisions(Structure)
        assert [(r.record.remark, r.superseded_by) for r in both] == [
            ("old", 2),
            ("new", None),
        ]
    with register.read(NOON.date() + DAY) as state:
        assert state.records(Structure)[1].remark == "old"
        assert not state.is_current
        assert len(state.revisions(Structure)) == 1


def test_the_corrected_and_the_first_entries_are_told_apart(register):
    fill(register, site(), structure("a"), structure("b"))
    with unasked(register, NOON + DAY, "P1", "correction") as job:
        job.revise(2, structure("b", remark="new"))
    with register.read() as state:
        found = [(r.id, r.revision) for r in state.corrected(Structure)]
        assert found == [(2, 1), (2, 2)]
        assert state.first_entries(Structure) == {1: 1, 2: 1}
    with register.read(NOON.date()) as state:
        assert state.corrected(Structure) == []
        assert state.first_entries(Structure) == {1: 1, 2: 1}


def test_records_with_a_value_and_when_they_first_came_in(register):
    fill(register, site(), structure("a"), structure("b"))
    boundary = Boundary(
        name="B", structure_a_id=1, structure_b_id=2, purpose=Purpose.PROTECTION
    )
    fill(register, boundary, replace(boundary, name="C"), now=NOON + DAY)
    with unasked(register, NOON + 2 * DAY, "P1", "correction") as job:
        job.revise(1, replace(boundary, structure_a_id=2, structure_b_id=1))
    wanted = {"structure_a_id": 2}
    with register.read() as state:
        assert list(state.records_with(Boundary, wanted)) == [1]
        assert list(state.records_with(Boundary, {**wanted, "structure_b_id": 2})) == [
            1,
            2,
        ]
        # It came in with another value, and is found by the one it has now.
        assert state.first_entries(Boundary, wanted) == {1: 2}


def test_a_record_revised_twice_in_one_transaction(register):
    fill(register, site(), structure("a"))
    with unasked(register, NOON + DAY, "P1", "twice") as job:
        job.revise(1, structure("a", remark="one"))
        job.revise(1, structure("a", remark="two"))
    with register.read() as state:
        assert state.records(Structure)[1].remark == "two"
        closed = [r.superseded_by for r in state.revisions(Structure)]
        assert closed == [2, 2, None]


def test_a_renamed_record_frees_its_key(register):
    fill(register, site(), structure("a"))
    with unasked(register, NOON + DAY, "P1", "rename") as job:
        job.revise(1, structure("b"))
        assert job.known("structure").by_key == {("b",): 1}


def test_revising_what_is_not_there_is_refused(register):
    fill(register, site())
    with pytest.raises(WrongUse), unasked(register, NOON, "P1", "none") as job:
        job.revise(9, structure("a"))


def test_known_before_anything_was_recorded(register):
    fill(register, site())
    with pytest.raises(WrongUse), register.read(dt.date(2020, 1, 1)):
        pass


def test_the_end_of_a_day_is_that_of_the_site(register):
    # 00:30 UTC on the 2nd is still the evening of the 1st in the Azores.
    fill(register, site(), now=dt.datetime(2026, 1, 2, 0, 30, tzinfo=dt.UTC))
    with register.read(dt.date(2026, 1, 1)) as state:
        assert state.site.name == "Site X"


def test_opening_what_is_no_register(tmp_path):
    (tmp_path / "text.sqlite").write_text("no database at all, but long enough" * 9)
    with pytest.raises(BrokenRegister):
        Register.open(f"sqlite:///{tmp_path}/text.sqlite", "X")
    with pytest.raises(WrongUse, match="no_file"):
        Register.open(f"sqlite:///{tmp_path}/none.sqlite", "X")
    assert not (tmp_path / "none.sqlite").exists()
    (tmp_path / "empty.sqlite").touch()
    with pytest.raises(BrokenRegister, match="not_a_register"):
        Register.open(f"sqlite:///{tmp_path}/empty.sqlite", "X")


def test_opening_another_site_or_version(register):
    url = str(register.engine.url)
    with pytest.raises(WrongUse):
        Register.open(url, "Y")
    for number, told in (("9999", "newer"), ("0000", "older")):
        with register.engine.begin() as connection:
            sql = f"UPDATE alembic_version SET version_num = '{number}'"  # noqa: S608
            connection.execute(sa.text(sql))
        with pytest.raises(WrongUse, match=told):
            Register.open(url, "X")


def test_a_server_needs_no_sqlite_settings():
    # Nothing is connected: only the way the engine is made is looked at.
    engine = open_engine("postgresql+psycopg://localhost/none")
    assert engine.dialect.name == "postgresql"


def test_leaves_are_those_of_the_rows(register):
    fill(register, site(), structure("a"))
    with reading(register.engine) as connection:
        entry = connection.execute(sa.select(ENTRIES)).one()
        leaves = [
            connection.execute(sa.select(table_of(k).c.leaf)).scalar_one()
            for k in ("site", "structure")
        ]
    from jointmap.storage.chain.hash_tree import tree_root

    assert tree_root(leaves) == entry.root


def test_arrays_are_the_records_by_id(register):
    fill(register, site(), structure("b", area_square_metre=2.5), structure("a"))
    with register.read() as state:
        found = read_arrays(
            state, Structure, ["name", "kind", "is_protected", "area_square_metre"]
        )
        named = read_arrays(state, Structure, ["name"], {"name": ["a", "b"]})
        days = read_arrays(state, Site, ["margin_days"])
    assert found["name"].tolist() == ["b", "a"]
    assert (
        found["kind"].tolist() == [list(StructureKind).index(StructureKind.MAINS)] * 2
    )
    assert found["is_protected"].dtype == np.bool_
    np.testing.assert_array_equal(found["area_square_metre"], [2.5, np.nan])
    assert named["name"].tolist() == [1, 0]
    assert days["margin_days"].tolist() == [30]


@pytest.mark.parametrize(
    "wrong",
    [
        {"name": 3},
        {"name": None},
        {"name": "a\x00b"},
        {"area_square_metre": float("nan")},
        {"kind": "mains"},
    ],
    ids=str,
)
def test_a_record_is_whole_or_refused(wrong):
    with pytest.raises(Refused) as refused:
        replace(structure("a"), **wrong)
    assert len(refused.value.problems) == 1


def test_minus_zero_becomes_zero():
    assert str(structure("a", area_square_metre=-0.0).area_square_metre) == "0.0"
