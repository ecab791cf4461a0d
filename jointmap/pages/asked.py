"""A question's frame: which site, which day, as known when."""

import datetime as dt
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from zoneinfo import ZoneInfo

from jointmap.assessment.assess import Assessment, assess
from jointmap.assessment.whole_site import hangs_on_whole_site
from jointmap.register import ParallelPath
from jointmap.reports.views import Frame, Link
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.joint_names import joint_asked
from jointmap.snapshot.odd_records import told_of_records
from jointmap.snapshot.part import part_of
from jointmap.storage import Reading
from jointmap.version import __version__
from jointmap.wording import say


@contextmanager
def assessed(
    site: SiteFolder, on: dt.date, known: dt.date | None
) -> Iterator[tuple[Assessment, Frame]]:
    """Give the judged state of a site on a day, and the frame of its pages."""
    with site.register.read(known) as state, told_of_records(state):
        yield assess(state.on_day(on), on), frame_of(site, state, on, known)


@contextmanager
def assessed_part(
    site: SiteFolder,
    part: Callable[[Reading], Reading],
    on: dt.date,
    known: dt.date | None,
) -> Iterator[tuple[Assessment, Frame]]:
    """Give the judged state of what some answers hang on, by what finds their part.

    Read is a part of the register where that tells the same, else the whole.
    """
    with site.register.read(known) as state, told_of_records(state):
        yield _judged(state.on_day(on), part, on), frame_of(site, state, on, known)


def _judged(
    state: Reading, part: Callable[[Reading], Reading], on: dt.date
) -> Assessment:
    if state.is_current:
        found = assess(part(state), on)
        if not hangs_on_whole_site(found):
            return found
    return assess(state, on)


def of_joint(tag: str) -> Callable[[Reading], Reading]:
    """Return what finds the part that the answers about a joint hang on."""
    return lambda state: part_of(state, [joint_asked(state, tag)])


def of_path(name: str) -> Callable[[Reading], Reading]:
    """Return what finds the part that the answers about a parallel path hang on."""

    def found(state: Reading) -> Reading:
        ids = state.ids_with(ParallelPath, "name", [name])
        return part_of(state, (), state.values_of(ParallelPath, "boundary_id", ids))

    return found


def frame_of(
    site: SiteFolder,
    state: Reading,
    on: dt.date,
    known: dt.date | None,
    up: str = "",
    trail: tuple[Link, ...] = (),
) -> Frame:
    """Return head and foot of a page: a function of state and days, of no clock."""
    zone = ZoneInfo(state.site.time_zone)
    training = say("page.training", {"on": site.fixed_day}) if site.fixed_day else ""
    return Frame(
        site=state.site.name,
        on=on,
        known=known or state.last.recorded_at.astimezone(zone).date(),
        entry=state.last.entry,
        fingerprint=state.last.fingerprint,
        version=__version__,
        up=up,
        training=training,
        trail=trail,
    )
