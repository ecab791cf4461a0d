"""Due dates from the database to columns in memory, part by part, under a model.

In a process of its own, so that its peak is that of reading and reckoning alone.
"""

import datetime as dt
import multiprocessing
import resource
import time

import pytest

from jointmap.assessment import assess as job
from jointmap.pages.due.page import due_csv, due_table
from jointmap.pages.showing import Showing
from jointmap.snapshot.snapshot import snapshot_of
from jointmap.storage import Register
from tests.benchmarks.baseline import idle
from tests.large_register import large_register

pytestmark = pytest.mark.benchmark
PARTS = ("read_ground", "judged_tests", "read_triggers", "reckoned", "build_on")
ON = dt.date(2026, 5, 15)
COPIES = 10


def assessed(path):
    """Return seconds of CPU, of the CSV, of each part; peak in GiB; counts of rows."""
    taken = dict.fromkeys(PARTS, 0.0)

    def timed(name, call):
        def run(*given, **more):
            began = time.process_time()
            result = call(*given, **more)
            taken[name] += time.process_time() - began
            return result

        return run

    for name in PARTS:
        setattr(job, name, timed(name, getattr(job, name)))
    register = Register.open(f"sqlite:///{path}", "SYN")
    began = time.process_time()
    with snapshot_of(register) as state:
        found = job.assess(state, ON)
        whole = time.process_time() - began
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
        began = time.process_time()
        table = due_table(Showing(found, None))
        rows = due_csv(table).count("\n")
        written = time.process_time() - began
        counts = len(found.tests), len(found.items), rows
    register.close()
    return whole, written, taken, peak, counts


def test_due_of_very_many_joints(tmp_path, count, full):
    joints = count(2_000, 100_000) * COPIES
    path = tmp_path / "large.sqlite"
    large_register(path, joints // COPIES, 10, COPIES, model=True).close()
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        whole, written, taken, peak, counts = pool.apply(assessed, (path,))
    tests, items, rows = counts
    assert tests == joints * 10
    assert items >= joints
    assert rows == items + 1
    parts = ", ".join(f"{name} {seconds:.1f}" for name, seconds in taken.items())
    print(  # noqa: T201
        f"{joints} joints: {whole:.1f} s ({parts}), process peak {peak:.2f} GiB; "
        f"CSV with its sentences {written:.1f} s"
    )
    if full:
        assert idle(whole) < 90
        assert peak < 3
        assert idle(written) < 30
