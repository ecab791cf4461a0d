"""Days of a site that are asked more than once: each is read and judged once."""

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from jointmap.assessment.assess import assess
from jointmap.pages.asked import frame_of
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.odd_records import told_of_records
from jointmap.snapshot.snapshot import Snapshot, snapshot_of

MOST = 4  # a judged day is as large as its tests


@dataclass(frozen=True, slots=True)
class KeptDay:
    """A judged day, and the entry of the register up to which it was read."""

    showing: Showing
    tests: ShownTests
    fingerprint: str


@dataclass(slots=True)
class KeptDays:
    """The days that were asked last, the newest last."""

    site: SiteFolder
    _kept: dict[tuple[dt.date, dt.date | None], KeptDay] = field(default_factory=dict)

    @contextmanager
    def asked(self, on: dt.date, known: dt.date | None) -> Iterator[KeptDay]:
        """Give a day as known on a day; between two calls nothing is held open."""
        register = self.site.register
        with snapshot_of(register, known) as state, told_of_records(state):
            # The newest entry, not the last known one: what was current may be so no
            # longer, and is looked up in another way then.
            newest = state.newest.fingerprint
            kept = self._kept.pop((on, known), None)
            if kept is None or kept.fingerprint != newest:
                kept = self._judged(state, on, known, newest)
            kept.showing.state.read_through(state)
            self._kept[on, known] = kept
            while len(self._kept) > MOST:
                del self._kept[next(iter(self._kept))]
            yield kept

    def _judged(
        self, state: Snapshot, on: dt.date, known: dt.date | None, newest: str
    ) -> KeptDay:
        found = assess(state.on_day(on), on)
        showing = Showing(found, frame_of(self.site, state, on, known))
        return KeptDay(showing, ShownTests(showing), newest)
