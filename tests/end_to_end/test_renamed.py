"""A thing that has another name now is still meant by the older one."""

import datetime as dt
import shutil
from dataclasses import fields, replace

import numpy as np
import pytest

import jointmap as jointmap_package
from jointmap.assessment.clocks import running
from jointmap.assessment.limits.deferrals import deferrals_open
from jointmap.pages.asked import assessed, assessed_part, of_joints
from jointmap.pages.dossier.answer import joint_named
from jointmap.pages.showing import Showing
from jointmap.register import (
    FORMS,
    Boundary,
    CurrentSource,
    Instrument,
    Line,
    ParallelPath,
    Structure,
    TestPoint,
)
from jointmap.snapshot.names.joint_names import joint_asked
from jointmap.workflows.opening import open_site
from tests.command_line import jointmap
from tests.opened_site import every_finding, opened
from tests.storage.samples import unasked

DAY = dt.date(2026, 5, 15)
NOW = dt.datetime(2026, 11, 30, 12, tzinfo=dt.UTC)
NAMED = (
    Structure, CurrentSource, Boundary, ParallelPath, Instrument, Line, TestPoint,
)  # fmt: skip
WHO = ("--by", "E1", "--reason", "a new name")
SINCE = " of today"


@pytest.fixture(scope="module")
def sites(demo, tmp_path_factory):
    """The sample, and a copy in which everything that has a name was renamed."""
    before = open_site(demo / "site")
    folder = tmp_path_factory.mktemp("renamed") / "site"
    shutil.copytree(demo / "site", folder)
    after = open_site(folder)
    with unasked(after.register, NOW, "E1", "all renamed") as job:
        for kind in NAMED:
            for id_, (_, record) in list(job.known(kind.KIND).by_id.items()):
                job.revise(id_, replace(record, name=record.name + SINCE))
    yield before, after
    before.register.close()
    after.register.close()


def same(first, second):
    """Say which columns of two tables differ."""
    return [
        f.name
        for f in fields(first)
        if isinstance(own := getattr(first, f.name), np.ndarray)
        and not np.array_equal(
            own, getattr(second, f.name), equal_nan=own.dtype.kind in "fM"
        )
    ]


@pytest.mark.parametrize(
    "table", ["judgements", "boundaries", "joints", "items", "triggers", "evidence"]
)
def test_a_new_name_changes_no_verdict_and_no_date(sites, table):
    with (
        assessed(sites[0], DAY, None) as (before, _),
        assessed(sites[1], DAY, None) as (after, _),
    ):
        assert len(getattr(before, table))
        assert not same(getattr(before, table), getattr(after, table))


def test_a_new_name_changes_no_clock_and_no_deferral(sites):
    with (
        assessed(sites[0], DAY, None) as (before, _),
        assessed(sites[1], DAY, None) as (after, _),
    ):
        assert not same(running(before), running(after))
        assert deferrals_open(before)
        assert deferrals_open(before).keys() == deferrals_open(after).keys()


def test_a_new_name_changes_no_finding(sites):
    told = [
        sorted(
            (f.kind, str(f.on), f.sentence.replace(SINCE, ""))
            for f in every_finding(site, DAY)
            if not f.kind.startswith("correct")
        )
        for site in sites
    ]
    assert told[0]
    for first, second in zip(*told, strict=False):
        assert second == first
    assert len(told[1]) == len(told[0])


def _called(tag):
    """Return what judges the part of a joint that is asked by any of its names."""
    return lambda state, on: of_joints([joint_asked(state, tag)])(state, on)


def test_a_part_knows_older_names_as_the_whole_does(sites):
    with assessed(sites[1], DAY, None) as (found, frame):
        whole = Showing(found, frame)
        tags = [j.tag for j in found.state.joints.values()][::7]
        verdicts = {
            t: int(found.joints.verdict[whole.joint_rows[joint_named(whole, t)]])
            for t in tags
        }
    for tag, verdict in verdicts.items():
        with assessed_part(sites[1], _called(tag), DAY, None) as (found, frame):
            part = Showing(found, frame)
            row = part.joint_rows[joint_named(part, tag)]
            assert int(found.joints.verdict[row]) == verdict, tag


@pytest.mark.parametrize("kind", ["source", "structure"])
def test_a_name_that_another_had_is_refused(demo, tmp_path, kind):
    shutil.copytree(demo / "site", tmp_path / "site")
    site = tmp_path / "site"
    with open_site(site).register.read() as state:
        records = state.records(FORMS[kind].record).values()
        first, second = [r.name for r in records][:2]
    ran = jointmap(
        "change",
        "correct",
        site,
        kind,
        first,
        "--set",
        f"name={first}X",
        "--by",
        "E1",
        "--reason",
        "a new name",
    )
    assert ran.code == 0, ran.said
    ran = jointmap(
        "change",
        "correct",
        site,
        kind,
        second,
        "--set",
        f"name={first}",
        "--by",
        "E1",
        "--reason",
        "a new name",
    )
    assert ran.code == 3
    assert f"{first}X" in ran.said
    ran = jointmap(
        "change",
        "correct",
        site,
        kind,
        f"{first}X",
        "--set",
        f"name={first}",
        "--by",
        "E1",
        "--reason",
        "a new name",
    )
    assert ran.code == 0, ran.said


def test_why_answers_for_all_that_have_a_name(demo, tmp_path):
    shutil.copytree(demo / "site", tmp_path / "site")
    site = tmp_path / "site"
    ran = jointmap("change", "rename", site, "IJ-031", "KP-B03", *WHO)
    assert ran.code == 0, ran.said
    told = " ".join(jointmap("why", site, "KP-B03").out.split())
    assert "KP-B03 is also the name of something else; of the boundary:" in told
    assert "KP-B03 is also the name of something else; of the joint:" in told
    assert "shorted since" in told or "Shorted since" in told


def test_why_of_a_path_on_a_day_before_it_was_there_says_so(demo):
    ran = jointmap("why", demo / "site", "TB-71", "--on", "2025-09-30")
    assert ran.code == 2
    assert "TB-71 is a parallel path, but it was not there on 2025-09-30" in ran.said


def test_the_notebook_s_why_answers_what_the_command_answers(demo):
    site = jointmap_package.open(demo / "site")
    for name in ("IJ-018", "KP-B03", "SD-27"):
        told = jointmap("why", demo / "site", name, COLUMNS="80").out
        assert site.why(name) == told, name


def test_a_path_that_was_taken_off_says_so(tmp_path):
    site = opened(
        tmp_path,
        {
            "paths.csv": "name,boundary,kind,state,fitted_on,removed_on\n"
            "P-1,B-1,temporary bond,joining,2025-01-10,2025-06-01\n"
        },
    )
    site.register.close()
    told = jointmap("why", site.path, "P-1", "--on", "2026-05-15").out
    assert "Taken off on 2025-06-01." in told
    assert told.endswith("Next: nothing; P-1 was taken off.\n")


def test_what_load_misses_is_of_the_joints_it_touches(demo, tmp_path):
    (tmp_path / "tests.csv").write_text(
        "scope,path,tested_on,method,stage,outcome,indication,person\n"
        "parallel path,IT-32,2026-05-15,look,routine,measured,no short,T1\n"
    )
    ran = jointmap(
        "load", demo / "site", tmp_path / "tests.csv", "--dry-run",
        "--by", "E1", "--reason", "a look",
    )  # fmt: skip
    assert ran.code == 0, ran.said
    assert "without a device" not in ran.said
