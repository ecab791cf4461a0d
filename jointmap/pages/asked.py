"""A question's frame: which site, which day, as known when."""

import datetime as dt
from collections.abc import Collection, Iterator
from contextlib import contextmanager

from jointmap.assessment.assess import Assessment, assess
from jointmap.assessment.judged_part import Judge, judged_around, judged_part
from jointmap.reports.views import Frame, Link
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.names.joint_names import joint_asked
from jointmap.snapshot.names.things_called import (
    Called,
    boundaries_of,
    boundary_asked,
    with_joints_around,
)
from jointmap.snapshot.odd_records import told_of_records
from jointmap.snapshot.parts.part import boundaries_near, part_of
from jointmap.snapshot.snapshot import Snapshot, snapshot_of
from jointmap.version import __version__
from jointmap.wording import say


@contextmanager
def assessed(
    site: SiteFolder, on: dt.date, known: dt.date | None
) -> Iterator[tuple[Assessment, Frame]]:
    """Give the judged state of a site on a day, and the frame of its pages."""
    with snapshot_of(site.register, known) as state, told_of_records(state):
        yield assess(state.on_day(on), on), frame_of(site, state, on, known)


@contextmanager
def assessed_part(
    site: SiteFolder, judge: Judge, on: dt.date, known: dt.date | None
) -> Iterator[tuple[Assessment, Frame]]:
    """Give the judged state of what some answers hang on, by what judges their part.

    Read is a part of the register where that tells the same, else the whole.
    """
    with snapshot_of(site.register, known) as state, told_of_records(state):
        yield _judged(state.on_day(on), judge, on), frame_of(site, state, on, known)


def _judged(state: Snapshot, judge: Judge, on: dt.date) -> Assessment:
    found = judge(state, on) if state.is_current else None
    return assess(state, on) if found is None else found


def of_joints(ids: Collection[int]) -> Judge:
    """Return what judges the part that verdicts and dates of joints hang on."""
    return lambda state, on: judged_part(part_of(state, ids), on)


def of_life(tag: str, near_metre: float) -> Judge:
    """Return what judges the part that a joint's life and its small map hang on."""

    def judge(state: Snapshot, on: dt.date) -> Assessment | None:
        joint = joint_asked(state, tag)
        own = boundaries_of(state, Called((joint,), (), ()))
        beside = boundaries_near(state, joint, near_metre)
        return judged_around(state, on, own, [joint], beside)

    return judge


def of_paths(ids: Collection[int]) -> Judge:
    """Return what judges the part that the answers about parallel paths hang on."""
    paths = Called((), (), tuple(ids))
    return lambda state, on: judged_part(
        part_of(state, (), boundaries_of(state, paths)), on
    )


def of_boundary(name: str) -> Judge:
    """Return what judges a boundary with the metal around it, by its name."""
    return lambda state, on: judged_around(state, on, [boundary_asked(state, name)])


def of_boundary_of(id_: int) -> Judge:
    """Return what judges a boundary with the metal around it."""
    return lambda state, on: judged_around(state, on, [id_])


def of_things(called: Called) -> Judge:
    """Return what judges the part that findings about some things hang on.

    The joint that a path goes around concerns the path, whatever boundary it is on.
    What is found of the boundary of a joint or a path hangs on the metal around it.
    """

    def judge(state: Snapshot, on: dt.date) -> Assessment | None:
        whole = with_joints_around(state, called)
        return judged_around(state, on, boundaries_of(state, whole), whole.joints)

    return judge


def frame_of(
    site: SiteFolder,
    state: Snapshot,
    on: dt.date,
    known: dt.date | None,
    up: str = "",
    trail: tuple[Link, ...] = (),
) -> Frame:
    """Return head and foot of a page: a function of state and days, of no clock."""
    training = say("page.training", {"on": site.fixed_day}) if site.fixed_day else ""
    return Frame(
        site=state.site.name,
        on=on,
        known=known or state.local_day(state.last.entry),
        entry=state.last.entry,
        fingerprint=state.last.fingerprint,
        version=__version__,
        up=up,
        training=training,
        trail=trail,
    )
