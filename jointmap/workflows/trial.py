"""A trial of the readers on what a change would leave, before it is kept.

Bounds and checks refuse what is known to do harm. Whatever gets past them and would
stop a page, a map, a plan or a list for everybody is found here: the readers are run
inside the transaction, on the joints and boundaries that the entry touches.
"""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from jointmap.assessment.assess import Assessment, assess
from jointmap.assessment.unanswered import Unanswered, unanswered
from jointmap.attached.within_limits import within
from jointmap.changes.culprit import ReaderStops
from jointmap.how_far import HowFar, counted, to_nobody
from jointmap.pages.asked import frame_of
from jointmap.pages.boundary.page import boundary_view
from jointmap.pages.dossier.page import dossier_view
from jointmap.pages.due.page import due_page
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.map_page import map_data
from jointmap.pages.month.page import month_pages
from jointmap.pages.month.planned import plan_month
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.register import Joint
from jointmap.site_map.page import page
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.parts.part import part_touched
from jointmap.snapshot.snapshot import Snapshot, tried_on
from jointmap.snapshot.touched import Touched, everything, touched
from jointmap.storage.register_file import Trial
from jointmap.workflows.export import joint_columns

# Processor time: a fixed part, and one that grows with the site. Measured: 10 s for
# 10,000 joints (docs/measurements.md); what takes 20 times that has gone wrong.
LEAST_SECONDS = 60.0
SECONDS_A_JOINT = 0.015
# Dossiers and boundaries of a large delivery that are tried, and stops of the month.
MOST_PAGES = 20
MOST_STOPS = 50
# Where more than one joint in so many is touched, the whole is as quick as the part.
SHARE_READ_WHOLE = 20

Reader: TypeAlias = Callable[[Showing, Touched], object]


def _dossiers(showing: Showing, about: Touched) -> None:
    tests = ShownTests(showing)
    nothing = shown_findings(showing, tests, ())
    for id_ in about.joints[:MOST_PAGES]:
        dossier_view(showing, tests, id_, nothing, ())


def _boundaries(showing: Showing, about: Touched) -> None:
    tests = ShownTests(showing)
    for id_ in about.boundaries[:MOST_PAGES]:
        boundary_view(showing, tests, id_, [])


def _month(showing: Showing, _: Touched) -> None:
    first = showing.assessed.on.replace(day=1)
    planned = plan_month(showing, first, f"{first:%Y-%m}", MOST_STOPS)
    for _page in month_pages(planned):
        pass


# Whoever adds a page for everybody adds it here. All share one assessment, of the part
# that was touched; what stops on it is tried on the whole before it is refused.
READERS: Mapping[str, Reader] = {
    "due": lambda showing, _: due_page(showing),
    "findings": lambda showing, _: shown_findings(showing, ShownTests(showing)),
    "map": lambda showing, _: page(map_data(showing)),
    "export": lambda showing, about: joint_columns(showing, about.joints),
    "dossier": _dossiers,
    "boundary": _boundaries,
    "month": _month,
}


@dataclass(frozen=True, slots=True)
class _Tried:
    """One state on the day asked about."""

    site: SiteFolder
    on: dt.date
    seconds: float
    tell: HowFar
    judged: list[Assessment] = field(default_factory=list)

    def first_stop(
        self, state: Snapshot, about: Touched, names: tuple[str, ...]
    ) -> ReaderStops | None:
        """Return the first of the named readers that stops, and why."""
        name = names[0]
        try:
            with within(self.seconds):
                found = assess(state, self.on)
                showing = Showing(found, frame_of(self.site, state, self.on, None))
                for name in counted(names, "readers", len(names), self.tell):
                    READERS[name](showing, about)
                self.judged.append(found)
        except Exception as error:
            return ReaderStops(name, error)
        return None


def trial_of(
    site: SiteFolder,
    now: dt.datetime,
    tell: HowFar = to_nobody,
    *,
    most_seconds: float | None = None,
) -> Trial:
    """Return the trial of a change made ``now``; it raises ``ReaderStops``.

    The trial returns what the judged state cannot answer yet; None where a reader
    stopped before this change already.
    """

    def run(state: Snapshot) -> Unanswered | None:
        about = touched(state)
        count = state.last_id(Joint)
        seconds = most_seconds or LEAST_SECONDS + SECONDS_A_JOINT * count
        on = site.fixed_day or now.astimezone(state.zone).date()
        tried = _Tried(site, on, seconds, tell)
        names = tuple(READERS)
        part = _part_of(state, about)
        if part is not state and tried.first_stop(part, about, names) is None:
            return unanswered(tried.judged[0], state, about)
        while stop := tried.first_stop(state, about, names):
            if not _stopped_before(tried, state, stop.reader):
                raise stop
            # It stopped before this change, which may be the one that mends it.
            names = names[names.index(stop.reader) + 1 :]
            if not names:
                return None
        return unanswered(tried.judged[-1], state, about)

    return tried_on(run)


def _part_of(state: Snapshot, about: Touched) -> Snapshot:
    """Return the part of the state that was touched; much of a site is read whole."""
    if about.is_whole or len(about.joints) * SHARE_READ_WHOLE > state.last_id(Joint):
        return state
    return part_touched(state, about.joints, about.boundaries)


def _stopped_before(tried: _Tried, state: Snapshot, reader: str) -> bool:
    """Return whether a reader stopped at the state before this entry already."""
    before = state.before_last()
    if not before.entries:
        return False
    return tried.first_stop(before, everything(before), (reader,)) is not None
