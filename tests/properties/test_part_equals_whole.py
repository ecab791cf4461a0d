"""The answer about one joint from a part of the register is that from the whole."""

import datetime as dt

import pytest

from jointmap.pages.asked import assessed, assessed_part, of_joint
from jointmap.pages.showing import Showing
from jointmap.register import Joint
from jointmap.sites.site_folder import SiteFolder
from jointmap.workflows.opening import open_site
from jointmap.workflows.why import why_told
from tests.large_register import large_register

DAYS = [dt.date(2026, 5, 15), dt.date(2023, 3, 1), dt.date(2019, 1, 1)]
# Read by one answer on a boundary of at most ten joints.
MOST_ROWS = 400


def _why(judged, frame, tag):
    return why_told(Showing(judged, frame), tag)


def _told(site, on):
    """Return what is said of every joint from one reading of the whole register."""
    with assessed(site, on, None) as (judged, frame):
        tags = [joint.tag for joint in judged.state.records(Joint).values()]
        return {tag: _why(judged, frame, tag) for tag in tags}


@pytest.mark.parametrize("on", DAYS)
def test_every_joint_of_the_sample(demo, on, count):
    site = open_site(demo / "site")
    told = _told(site, on)
    every = -(-len(told) // count(12, len(told)))
    parts = 0
    for tag in [*told][::every]:
        with assessed_part(site, of_joint(tag), on, None) as (judged, frame):
            parts += bool(judged.state.only)
            assert _why(judged, frame, tag) == told[tag], tag
    # Not all of them fell back on reading the whole.
    assert parts > len(told) // every // 2
    site.register.close()


def _large(folder, copies):
    register = large_register(folder / f"{copies}.sqlite", 200, 10, copies, model=True)
    return SiteFolder(folder, register)


def _rows(site, tag):
    """Return how many records one answer was told from."""
    with assessed_part(site, of_joint(tag), DAYS[0], None) as (judged, frame):
        assert judged.state.only
        _why(judged, frame, tag)
        return sum(len(ids) for ids in judged.state.only.values())


def test_a_part_is_as_large_on_a_larger_site(tmp_path):
    rows = []
    for copies in (1, 10):
        site = _large(tmp_path, copies)
        with site.register.read() as state:
            tag = state.records(Joint)[25].tag
        rows.append(_rows(site, tag))
        site.register.close()
    assert rows[0] == rows[1] <= MOST_ROWS
