"""Due dates from the database to columns in memory, part by part.

The issue's target for 1,000,000 joints with 10,000,000 tests (90 s, 3 GiB) is not met;
docs/measurements.md says by how much and where. So this prints and asserts no time.
"""

import datetime as dt
import resource
import time

import pytest

from jointmap.workflows import assess as job
from tests.large_register import large_register

pytestmark = pytest.mark.benchmark
PARTS = ("read_ground", "judged_tests", "read_history", "read_triggers", "build")
ON = dt.date(2026, 5, 15)


def test_due_of_very_many_joints(tmp_path, count, monkeypatch):
    taken = dict.fromkeys(PARTS, 0.0)

    def timed(name, call):
        def run(*given, **more):
            began = time.process_time()
            result = call(*given, **more)
            taken[name] += time.process_time() - began
            return result

        return run

    for name in PARTS:
        monkeypatch.setattr(job, name, timed(name, getattr(job, name)))
    joints = count(2_000, 100_000)
    register = large_register(tmp_path / "large.sqlite", joints, 10, 10)
    began = time.process_time()
    with register.read(None) as state:
        found = job.assess(state, ON)
        whole = time.process_time() - began
        assert len(found.tests) == joints * 100
        assert len(found.items) >= joints * 10
    register.close()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20
    parts = ", ".join(f"{name} {seconds:.1f}" for name, seconds in taken.items())
    print(  # noqa: T201
        f"{joints * 10} joints: {whole:.1f} s ({parts}), process peak {peak:.2f} GiB"
    )
