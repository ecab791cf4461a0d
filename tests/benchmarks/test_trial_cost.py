"""What the trial of the readers costs before a change is kept, by size of the site."""

import datetime as dt
import shutil

import pytest

from jointmap.sites.site_folder import SiteFolder
from jointmap.workflows.opening import open_site
from jointmap.workflows.trial import trial_of
from tests.benchmarks.baseline import idle
from tests.cpu_time import seconds
from tests.large_register import large_register

pytestmark = pytest.mark.benchmark
NOW = dt.datetime(2026, 5, 15, 12, tzinfo=dt.UTC)
LEAST = 60.0  # the trial's own limit of processor time, without its part for a joint


def _tried(site):
    with site.register.read() as state:
        taken, _ = seconds(lambda: trial_of(site, NOW)(state))
    site.register.close()
    return taken


def test_trial_of_the_sample(demo, tmp_path):
    shutil.copytree(demo / "site", tmp_path / "site")
    taken = _tried(open_site(tmp_path / "site"))
    print(f"trial, sample: {taken:.2f} s")  # noqa: T201
    assert idle(taken) < LEAST


@pytest.mark.parametrize("copies", [1, 10])
def test_trial_by_size(tmp_path, copies):
    register = large_register(tmp_path / "large.sqlite", 1000, 10, copies)
    taken = _tried(SiteFolder(tmp_path, register))
    print(f"trial, {1000 * copies} joints: {taken:.2f} s")  # noqa: T201
    assert idle(taken) < LEAST
