"""Whatever was done, the register as known then is what it was then."""

import datetime as dt
import tempfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.register import Person, Structure
from jointmap.storage import Register
from jointmap.storage.as_columns.arrays import read_arrays
from jointmap.storage.verifying.checking import check_register
from tests.sizes import examples
from tests.storage.samples import DAY, KEY, NOON, person, site, structure, unasked

pytestmark = pytest.mark.unmeasured

NAMES = st.sampled_from(["a", "b", "c", "d"])
REMARKS = st.text(max_size=3)
OPERATIONS = st.lists(
    st.tuples(
        st.sampled_from(["add", "revise", "rename", "add person", "twice", "nothing"]),
        NAMES,
        NAMES,
        REMARKS.filter(lambda text: "\x00" not in text),
        st.integers(0, 2),  # days that passed before it
    ),
    max_size=12,
)


def do(job, what, name, other, remark):
    """Apply one operation where it can be applied; else nothing happens."""
    known = job.known("structure")
    id_ = known.by_key.get((name,))
    if what == "add" and id_ is None:
        job.add(structure(name, remark=remark))
    elif what == "add person" and (name,) not in job.known("person").by_key:
        job.add(person(name, full_name=remark))
    elif what == "rename" and id_ is not None and (other,) not in known.by_key:
        job.revise(id_, replace(known.by_id[id_][1], name=other))
    elif what in {"revise", "twice"} and id_ is not None:
        record = known.by_id[id_][1]
        job.revise(id_, replace(record, remark=f"{remark}?"))
        if what == "twice":
            job.revise(id_, replace(record, remark=remark))


def seen(state):
    columns = read_arrays(state, Structure, ["name", "remark", "is_protected"])
    kept = {name: values.tolist() for name, values in columns.items()}
    return state.records(Structure), state.records(Person), kept


def play(register, operations):
    """Do all operations; return what was seen at the end of each day."""
    now, by_day = NOON, {}
    with unasked(register, now, "P1", "site") as job:
        job.add(site())
    for what, name, other, remark, days in operations:
        now += days * DAY
        with unasked(register, now, "P1", what) as job:
            do(job, what, name, other, remark)
        with register.read() as state:
            by_day[now.date()] = seen(state)
    return by_day


@examples(40)
@given(OPERATIONS)
def test_as_known_then_is_as_it_was_then(operations):
    with tempfile.TemporaryDirectory() as folder:
        register = Register.create(f"sqlite:///{Path(folder)}/r.sqlite", "X", KEY)
        by_day = play(register, operations)
        for day, then in by_day.items():
            with register.read(day) as state:
                assert seen(state) == then
            with register.read(day + dt.timedelta(days=400)) as state:
                assert seen(state) == by_day[max(by_day)]
        assert check_register(register).problems == ()
        register.close()
