"""Loading, verifying and reading very many tests, each against the least of its kind.

CPU seconds of this process; the ratio is what counts.
"""

import hashlib
import resource
import sqlite3
import tracemalloc

import numpy as np
import pytest

from jointmap.register import FORMS
from jointmap.storage import Register
from jointmap.storage.chain.canonical import plain
from jointmap.storage.database import open_engine, writing
from jointmap.storage.schema import MARK, METADATA, table_of
from jointmap.storage.verifying.checking import check_register
from tests.cpu_time import seconds
from tests.storage.samples import DAY, KEY, NOON, fill, reading, site, unasked

pytestmark = pytest.mark.benchmark
JOINTS = 200_000
TESTS = table_of("test")
DAYS = [str(np.datetime64("2016-01-01") + n) for n in range(3650)]
METHODS = ("radio-frequency", "potential-difference", "potential-shift")


def many_tests(count):
    """Yield tests as plain values in the order of their form."""
    form = FORMS["test"]
    row = [plain(v) for v in reading(1, NOON.date(), 1e6).values()]
    place = {c.name: n for n, c in enumerate(form.columns)}
    joint, on, method, ohm, written = (
        place[n]
        for n in ("joint_id", "tested_on", "method", "reading_ohm", "as_written")
    )
    for n in range(count):
        row[joint] = n % JOINTS + 1
        row[on] = DAYS[n * 7919 % 3650]
        row[method] = METHODS[n % 3]
        row[ohm] = 1e6 + n / 3
        row[written] = '{"reading":"1.2 Mohm"}'
        yield tuple(row)


def told(text):
    print(text)  # noqa: T201


def raw_load(path, rows):
    """The same columns and indexes, no trigger, ready tuples, one transaction."""
    engine = open_engine(f"sqlite:///{path}")
    with writing(engine) as connection:
        METADATA.create_all(connection, tables=[TESTS])
    engine.dispose()
    marks = ", ".join("?" for _ in TESTS.columns)
    connection = sqlite3.connect(path)
    leaf = bytes(32)
    ready = [(1, n + 1, 1, 2, n, leaf, None, *row) for n, row in enumerate(rows)]
    taken, _ = seconds(
        lambda: (
            connection.executemany(f"INSERT INTO record_test VALUES ({marks})", ready),  # noqa: S608
            connection.commit(),
        )
    )
    connection.close()
    return taken


def load(register, rows):
    with unasked(register, NOON + DAY, "P1", "many") as job:
        job.add_plain("test", rows)


@pytest.fixture(scope="module")
def loaded(tmp_path_factory, count):
    """A register of very many tests, and how long loading took beside the raw way."""
    number = count(100_000, 1_000_000)
    folder = tmp_path_factory.mktemp("many")
    rows = list(many_tests(number))
    base = raw_load(folder / "raw.sqlite", rows)
    (folder / "raw.sqlite").unlink()
    register = Register.create(f"sqlite:///{folder}/r.sqlite", "X", KEY)
    fill(register, site())
    own, _ = seconds(lambda: load(register, rows))
    yield register, number, own, base
    register.close()


def test_load_against_raw_executemany(loaded):
    _, number, own, base = loaded
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
    told(
        f"load {number} tests: {own:.1f} s, raw executemany {base:.1f} s,"
        f" ratio {own / base:.2f}, process peak {peak:.2f} GiB"
    )
    assert own < 4 * base
    assert peak < 1.5


def read_and_hash(path):
    connection = sqlite3.connect(path)
    digest = hashlib.sha256()
    for row in connection.execute("SELECT * FROM record_test"):
        digest.update(repr(row).encode())
    connection.close()
    return digest.hexdigest()


def test_verify_against_reading_and_hashing_once(loaded):
    register, number, *_ = loaded
    base, _ = seconds(lambda: read_and_hash(register.engine.url.database))
    own, checked = seconds(lambda: check_register(register))
    assert (checked.rows, checked.problems) == (number + 1, ())
    told(
        f"verify {number} rows: {own:.1f} s, read and hash once {base:.1f} s,"
        f" ratio {own / base:.2f}"
    )
    assert own < 4 * base


def test_memory_of_verify_does_not_grow(tmp_path):
    peaks = []
    for number in (5_000, 50_000):
        register = Register.create(f"sqlite:///{tmp_path}/{number}.sqlite", "X", KEY)
        fill(register, site())
        load(register, many_tests(number))
        tracemalloc.start()
        check_register(register)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
        register.close()
    told(
        f"verify: peak {peaks[0] / 2**20:.1f} MiB of 5,000 rows,"
        f" {peaks[1] / 2**20:.1f} MiB of 50,000"
    )
    assert peaks[1] < 1.2 * peaks[0]


SEEK = """
SELECT n, (SELECT id FROM plain WHERE joint_id = n ORDER BY tested_on DESC LIMIT 1)
FROM joints"""
CURRENT = """
SELECT n, (
  SELECT id FROM record_test WHERE site_id = 1 AND joint_id = n
  AND superseded_by IS NULL ORDER BY tested_on DESC LIMIT 1)
FROM joints"""
# As known at the end of entry 5: what stands since then, and what was replaced later.
KNOWN = """
SELECT joint_id, max(found) FROM (
  SELECT n AS joint_id, (
    SELECT tested_on || ' ' || id FROM record_test WHERE site_id = 1 AND joint_id = n
    AND superseded_by IS NULL AND entry <= 5 ORDER BY tested_on DESC LIMIT 1) AS found
  FROM joints
  UNION ALL
  SELECT joint_id, tested_on || ' ' || id FROM record_test
  WHERE site_id = 1 AND superseded_by > 5 AND entry <= 5)
GROUP BY joint_id"""


def narrow_rows(number, joints):
    """Yield id, joint, day, entry 1 to 9, and for one in a hundred what replaced it."""
    for n in range(number):
        replaced = 9 if n % 100 == 7 else None
        yield (
            n + 1,
            n % joints + 1,
            DAYS[n * 7919 % 3650],
            n * 9 // number + 1,
            replaced,
        )


def fill_both(connection, number, joints):
    """Fill the real table and a plain one of three columns with the same tests."""
    own = {"id": 0, "joint_id": 1, "tested_on": 2, "entry": 3, MARK: 4, "position": 0}
    fixed = {"site_id": "1", "revision": "1", "leaf": "x''"}
    must = [c for c in TESTS.columns if not c.nullable or c.name in own]
    names = ", ".join(f'"{c.name}"' for c in must)
    values = ", ".join(
        f"?{own[c.name] + 1}" if c.name in own else fixed.get(c.name, "''")
        for c in must
    )
    connection.execute("CREATE TABLE joints (n INTEGER PRIMARY KEY)")
    every = ((n + 1,) for n in range(joints))
    connection.executemany("INSERT INTO joints VALUES (?)", every)
    connection.execute(
        "CREATE TABLE plain (id INTEGER PRIMARY KEY, joint_id INTEGER, tested_on TEXT)"
    )
    plain = (row[:3] for row in narrow_rows(number, joints))
    connection.executemany("INSERT INTO plain VALUES (?, ?, ?)", plain)
    connection.execute("CREATE INDEX plain_seek ON plain (joint_id, tested_on)")
    sql = f"INSERT INTO record_test ({names}) VALUES ({values})"  # noqa: S608
    connection.executemany(sql, narrow_rows(number, joints))
    connection.commit()
    connection.execute("ANALYZE")


def test_latest_test_of_each_joint(tmp_path, count):
    number = count(300_000, 10_000_000)
    joints = min(JOINTS, number // 50)
    engine = open_engine(f"sqlite:///{tmp_path}/r.sqlite")
    with writing(engine) as making:
        METADATA.create_all(making, tables=[TESTS])
    connection = sqlite3.connect(tmp_path / "r.sqlite")
    fill_both(connection, number, joints)
    taken = {}
    for name, sql in (("seek", SEEK), ("current", CURRENT), ("known", KNOWN)):
        runs = [
            seconds(lambda s=sql: connection.execute(s).fetchall()) for _ in range(3)
        ]
        taken[name] = min(run[0] for run in runs)
        assert len(runs[0][1]) == joints
    connection.close()
    ratios = {name: own / taken["seek"] for name, own in taken.items()}
    told(
        f"latest of {joints} joints, {number} tests: seek {taken['seek']:.2f} s,"
        f" current {ratios['current']:.2f} x, as known {ratios['known']:.2f} x"
    )
    assert ratios["current"] < 1.5
    assert ratios["known"] < 12
