"""A checker written from the reference page alone agrees with the program."""

import ast
import json
import shutil
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jointmap.storage import Register
from jointmap.storage.database import open_engine, sqlite_url, trying
from jointmap.storage.guard import take_guard
from jointmap.storage.opening import upgrade_tables
from jointmap.storage.schema import ENTRIES
from jointmap.storage.verifying.checking import check_register
from tests.storage import stranger
from tests.storage.samples import DAY, NOON, fill, joint, unasked
from tests.storage.tampering import apply, chosen, possible_edits

pytestmark = pytest.mark.unmeasured

# Made by the program of commit e99a33d, the last whose entries state no form.
OLD = Path(__file__).parent / "registers" / "e99a33d.zip"
OLD_PRINT = "4-a5d9e3fd2ab336c1ef02e7c4957a243030e24c75901fd2c97c612fbf0f3e3a8b"


@pytest.fixture(scope="session")
def page(root):
    return (root / "docs" / "reference" / "chain_bytes.md").read_text("utf-8")


@pytest.fixture
def old(tmp_path):
    """The file of a register of entry form 1, as it was made."""
    with zipfile.ZipFile(OLD) as archive:
        archive.extract("register.sqlite", tmp_path)
    return tmp_path / "register.sqlite"


@pytest.fixture
def both(old):
    """A register that holds entries of both forms."""
    upgrade_tables(open_engine(sqlite_url(old)))
    register = Register.open(sqlite_url(old), "X")
    fill(register, joint("IJ-3", post_kilometre=-1e-7), now=NOON + 5 * DAY)
    said = NOON + 4 * DAY, "P2", "later, by a clock set back"
    with unasked(register, *said) as job:
        job.revise(1, joint("IJ-1c", post_kilometre=1e16, remark='"\\\x1f\x7f Ω'))
    yield register
    register.close()


def test_it_knows_nothing_of_the_program():
    tree = ast.parse(Path(stranger.__file__).read_text(encoding="utf-8"))
    names = [n.module for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)]
    names += [
        a.name for n in ast.walk(tree) if isinstance(n, ast.Import) for a in n.names
    ]
    assert "hashlib" in names
    assert not [n for n in names if n.split(".")[0] in {"jointmap", "tests"}]


@given(
    st.none()
    | st.integers()
    | st.text(st.characters(exclude_categories=["Cs"]))
    | st.floats(allow_nan=False, allow_infinity=False).map(lambda x: x or 0.0)
)
def test_the_pages_way_of_writing_is_the_programs(value):
    compact = json.dumps([value], ensure_ascii=False, separators=(",", ":"))
    assert stranger.written([value]) == compact


def test_at_every_power_of_two_and_beside_it():
    for n in range(-1074, 1024):
        for value in (2.0**n, 2.0**n * (1 + 2**-52), 2.0**n * (1 - 2**-53)):
            assert stranger.written(value) == json.dumps(value)


def test_the_sample_register(demo, page):
    path = demo / "site" / "register.sqlite"
    assert stranger.check(path, page)[0] == []
    register = Register.open(sqlite_url(path), "ORS")
    with register.read() as state:
        assert stranger.check(path, page)[1] == [state.last.fingerprint]
    register.close()


def test_a_register_of_the_first_entry_form(old, page):
    assert stranger.check(old, page) == ([], [OLD_PRINT])
    engine = open_engine(sqlite_url(old))
    assert upgrade_tables(engine)[0] == "0001"
    register = Register.open(sqlite_url(old), "X")
    checked = check_register(register, None, OLD_PRINT)
    assert (checked.problems, checked.fingerprint) == ((), OLD_PRINT)
    assert stranger.check(old, page) == ([], [OLD_PRINT])
    register.close()


def test_a_register_of_both_entry_forms(both, page):
    path = Path(both.engine.url.database)
    checked = check_register(both, None, OLD_PRINT)
    assert checked.problems == ()
    assert stranger.check(path, page) == ([], [checked.fingerprint])
    with both.read() as state:
        *_, added, late = state.entries
        assert [e.forms for e in state.entries[:4]] == [None] * 4
        assert (added.forms, late.forms) == ('{"joint":1}', '{"joint":1}')
        # The chain's time never runs back; the machine's is kept as it was.
        assert (late.recorded_at, late.machine_at) == (NOON + 5 * DAY, NOON + 4 * DAY)


def test_it_finds_what_the_program_finds(both, page, count, tmp_path):
    """Single edits of a register with entries of both forms."""
    path = Path(both.engine.url.database)
    with trying(both.engine) as connection:
        edits = possible_edits(connection)
    for number, edit in chosen(edits, count(25, 500), "stranger"):
        shutil.copy(path, tmp_path / "spoilt.sqlite")
        spoilt = Register.open(sqlite_url(tmp_path / "spoilt.sqlite"), "X")
        with spoilt.engine.begin() as connection:
            take_guard(connection, [edit.table])
            what = apply(connection, edit, number)
        assert stranger.check(tmp_path / "spoilt.sqlite", page)[0], (edit, what)
        ours = {p.id for p in check_register(spoilt).problems}
        # What the edit itself needed, guard off and index dropped, is not enough.
        assert ours - {"verify.guard", "verify.object_missing"}, (edit, what)
        spoilt.close()


FORGED = {
    "a form that the entry does not state": "UPDATE entry SET forms = '{\"joint\":0}'",
    "no form at all": "UPDATE entry SET forms = NULL",
    "another machine's time": "UPDATE entry SET machine_at = recorded_at",
    "no machine's time": "UPDATE entry SET machine_at = NULL",
    "a training day": "UPDATE entry SET training_on = '2026-05-15'",
    "an old entry given a form": "UPDATE entry SET forms = '{}' WHERE forms IS NULL",
    "an old entry given a time": "UPDATE entry SET machine_at = recorded_at"
    " WHERE forms IS NULL",
}


@pytest.mark.parametrize("sql", FORGED.values(), ids=list(FORGED))
def test_what_an_entry_states_is_inside_its_hash(both, page, sql):
    where = "" if "WHERE" in sql else " WHERE entry = 6"
    with both.engine.begin() as connection:
        take_guard(connection, [ENTRIES])
        connection.exec_driver_sql(sql + where)
    ids = [p.id for p in check_register(both).problems]
    assert "verify.entry_hash" in ids
    path = Path(both.engine.url.database)
    assert any("hash" in fault for fault in stranger.check(path, page)[0])
