"""Both databases give the same bytes, and answer as known on a day alike."""

import pytest

from jointmap.register import Joint
from jointmap.storage import Register
from jointmap.storage.as_columns.arrays import read_arrays
from jointmap.storage.chain.canonical import plain
from tests.properties.test_known_states import do, play
from tests.storage.samples import (
    DAY,
    KEY,
    NOON,
    fill,
    first_delivery,
    joint,
    structure,
    unasked,
)

STORY = [
    ("add", "a", "a", 'Ω " \\ \n', 0),
    ("add", "b", "a", "", 1),
    ("rename", "a", "c", "", 0),
    ("twice", "c", "c", "later", 1),
    ("add person", "a", "a", "Ana", 0),
    ("revise", "b", "b", "x", 2),
]


@pytest.mark.postgres
def test_the_same_story_gives_the_same_fingerprint(tmp_path, postgres_url):
    found = []
    for url in (f"sqlite:///{tmp_path}/r.sqlite", postgres_url):
        register = Register.create(url, "X", KEY)
        by_day = play(register, STORY)
        fill(register, *first_delivery()[1:4], now=NOON + 30 * DAY)
        with unasked(register, NOON + 31 * DAY, "P1", "many") as job:
            many = (structure(f"n{n}", area_square_metre=n / 7) for n in range(25_000))
            rows = ([plain(v) for v in record.values()] for record in many)
            job.add_plain("structure", rows)
            do(job, "revise", "n3", "n3", "revised in the same transaction")
        with register.read() as state:
            arrays = read_arrays(state, Joint, ["tag", "in_duty_on", "post_kilometre"])
            kept = {name: values.tolist() for name, values in arrays.items()}
            found.append((by_day, state.last.fingerprint, kept))
        register.close()
    assert found[0] == found[1]


def test_many_rows_at_once_are_as_one_by_one(url, second_url):
    records = first_delivery()
    prints = []
    for address, at_once in ((url, True), (second_url, False)):
        register = Register.create(address, "X", KEY)
        with unasked(register, NOON, "P1", "delivery") as job:
            for record in records:
                if at_once:
                    job.add_plain(record.KIND, [[plain(v) for v in record.values()]])
                else:
                    job.add(record)
            job.revise(1, joint("IJ-1", remark="at once"))
        with register.read() as state:
            prints.append(state.last.fingerprint)
        register.close()
    assert prints[0] == prints[1]


def test_a_large_transaction_goes_to_the_database_in_pieces(register, monkeypatch):
    from jointmap.storage import writing

    monkeypatch.setattr(writing, "AT_ONCE", 4)
    fill(register, *first_delivery())
    with unasked(register, NOON + DAY, "P1", "pieces") as job:
        ids = [job.add(structure(f"s{n}")) for n in range(10)]
        # The first went to the database long ago, the last one waits.
        for id_ in (ids[0], ids[-1]):
            job.revise(id_, structure(f"t{id_}"))
        assert job.known("structure").by_key["t3",] == ids[0]
    with register.read() as state:
        assert state.last.row_count == 12
    from jointmap.storage.verifying.checking import check_register

    assert check_register(register).problems == ()


def test_time_never_runs_backwards(register):
    fill(register, *first_delivery())
    fill(register, joint("IJ-3"), now=NOON - DAY / 2)
    with register.read() as state:
        assert [e.recorded_at for e in state.entries] == [NOON, NOON]
