"""A hundred tests into a large register: keys looked up, and all keys read."""

import datetime as dt
import resource

import pytest

from jointmap.changes.load import load
from jointmap.sites.site_folder import SiteFolder
from jointmap.storage import known
from tests.benchmarks.baseline import idle
from tests.cpu_time import seconds
from tests.large_register import large_register

pytestmark = pytest.mark.benchmark
NOW = dt.datetime(2026, 5, 15, 12, tzinfo=dt.UTC)
HEAD = "scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off\n"
ROW = "joint,{},2026-05-01,potential-shift,routine,measured,-1.2 V,-0.9 V,-0.5 V,-0.5 V"


def peak():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**10


def test_a_hundred_tests_into_a_large_register(tmp_path, count, monkeypatch):
    copies = count(20, 100)
    register = large_register(tmp_path / "large.sqlite", 1000, 10, copies)
    with register.read() as state:
        asked = "SELECT tag FROM record_joint WHERE id % ? = 3"
        rows = state.connection.exec_driver_sql(asked, (10 * copies,))
        tags = rows.scalars().all()
    sheet = tmp_path / "tests.csv"
    sheet.write_text(HEAD + "\n".join(map(ROW.format, tags)), encoding="utf-8")

    def loaded():
        # Kept nowhere, so that the second way finds what the first one did.
        site = SiteFolder(tmp_path, register)
        facts = {"by": "T1", "reason": "a reason", "dry_run": True, "tried": False}
        return load(site, [sheet], now=NOW, **facts)

    few, report = seconds(loaded)
    few_peak = peak()
    monkeypatch.setattr(known, "reads_in_bulk", lambda *_: True)
    bulk, same = seconds(loaded)
    register.close()
    print(  # noqa: T201
        f"100 tests into {10_000 * copies}: {few:.2f} s, {few_peak:.0f} MiB;"
        f" all keys read {bulk:.1f} s, {peak():.0f} MiB"
    )
    assert report == same
    assert report.accepted["test"] == len(tags) == 100
    assert idle(few) <= 1.5
    assert few_peak <= 250
    assert bulk >= 3 * few
