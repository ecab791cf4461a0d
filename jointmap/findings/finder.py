"""What a finder is given, and what it makes."""

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from jointmap.assessment.assess import Assessment
from jointmap.assessment.limits.deferrals import Named, subjects_named
from jointmap.assessment.limits.history import limits_ever
from jointmap.assessment.recorded_tests import RecordedTests
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Kind
from jointmap.intervals import HeldLimits, missed_years
from jointmap.register.codes import Stage, Subject, Verdict
from jointmap.register.columns import Ids
from jointmap.register.told import Told
from jointmap.snapshot.histories.happened import HappenedAt, happened
from jointmap.snapshot.papers.of_tests import named_in_tests

YEARS_BACK = 10  # in which broken limits are looked for


def _missed(found: Assessment) -> HeldLimits:
    """Return every limit that was broken, or nearly, in the last ten years."""
    years = range(found.on.year - YEARS_BACK, found.on.year + 1)
    return missed_years(limits_ever(found), years, found.ground.site.near_limit_days)


@dataclass(frozen=True)
class Seen:
    """An assessment as the finders see it."""

    site: SiteOnDay
    tests: RecordedTests

    @cached_property
    def missed(self) -> HeldLimits:
        """Limits broken, or nearly, in the last ten years."""
        return _missed(self.site.assessed)

    @cached_property
    def named_in_tests(self) -> Mapping[str, Ids]:
        """Who made each test and what with, by the kind of record; 0: none named."""
        found = self.site.assessed
        return named_in_tests(found.state, found.tests.test_id)

    @cached_property
    def subjects_named(self) -> Mapping[tuple[Subject, str], Named]:
        """What each name that may stand in a decision is the name of."""
        return subjects_named(self.site.assessed)

    @cached_property
    def happened(self) -> HappenedAt:
        """What was done or found, by records, by tests as left and of paths."""
        found = self.site.assessed
        worked = found.tests.stage == Stage.AS_LEFT
        joins = found.judgements.verdict == Verdict.SHORTED
        own = found.tests.take(worked | (joins & (found.tests.path_id > 0)))
        known = happened(found.state, found.ground)
        return known.and_also(own.joint_id, own.boundary_id, own.tested_on)

    def finding(self, kind: Kind, about: About, id_: str, **values: object) -> Found:
        """Return a finding with the id of its sentence, and its day if it has one."""
        on = values.get(kind.day)
        return Found(
            kind=kind,
            about=about,
            told=Told(f"find.{id_}", values),
            on=on if isinstance(on, dt.date) else None,
        )


@dataclass(frozen=True, slots=True)
class Finder:
    """A function that finds, with every kind of finding that it may find."""

    find: Callable[[Seen], Iterator[Found]]
    kinds: tuple[Kind, ...]

    def __call__(self, seen: Seen) -> Iterator[Found]:
        """Yield what is found."""
        return self.find(seen)


def finds(*kinds: Kind) -> Callable[[Callable[[Seen], Iterator[Found]]], Finder]:
    """Return what makes a finder of a function; ``kinds`` are all that it may find."""
    return lambda find: Finder(find, kinds)
