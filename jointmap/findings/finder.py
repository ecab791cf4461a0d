"""What a finder is given, and what it makes."""

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from jointmap.assessment.assess import Assessment
from jointmap.assessment.deferrals import Named, subjects_named
from jointmap.assessment.recorded_tests import RecordedTests
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.findings.finding import About, Found
from jointmap.intervals import Missed, missed_years
from jointmap.register.codes import Subject
from jointmap.register.told import Told

YEARS_BACK = 10  # in which broken limits are looked for
# Which of a finding's values is the day it is about.
_DAY = {
    "after_duty": "tested",
    "after_removal": "tested",
    "before_fitting": "tested",
    "boundary_shorted": "first_bad",
    "boundary_shorted_cause": "first_bad",
    "by_one": "decided_on",
    "by_others": "decided_on",
    "cannot_decide": "tested",
    "clock_over": "until",
    "close_to_limit": "next",
    "cluster": "first",
    "copied_reading": "tested",
    "correction_unseen": "recorded",
    "dated_back": "recorded",
    "decision_ends": "until",
    "deferral_unknown": "decided_on",
    "design_stud_count": "tested",
    "entered_late": "recorded",
    "held": "sent",
    "impossible_travel": "tested",
    "instrument_lapsed": "tested",
    "law_unseen": "recorded",
    "many_a_day": "tested",
    "missed_year": "limit",
    "not_for_transfer": "tested",
    "nothing_fitted": "removed",
    "one_day": "tested",
    "past_limit": "day",
    "path_joining": "checked",
    "person_lapsed": "tested",
    "photo_far": "day",
    "position_doubt": "sent",
    "repair_not_proved": "repaired",
    "repair_of_boundary": "day",
    "rules_contradict": "since",
    "role_unseen": "recorded",
    "run_by_one": "decided_on",
    "short_of_a_tenth": "ended",
    "short_of_six": "ended",
    "stud_one_side": "tested",
    "temporary_bond": "fitted",
    "wall_loss": "day",
}


def _missed(found: Assessment) -> Missed:
    """Return every limit that was broken, or nearly, in the last ten years."""
    years = range(found.on.year - YEARS_BACK, found.on.year + 1)
    near, rules = found.ground.site.near_limit_days, found.ground.rules
    subjects, tests = found.subjects, found.counting
    return missed_years(subjects, tests, rules, years, found.ground.on, near)


@dataclass(frozen=True)
class Seen:
    """An assessment as the finders see it."""

    site: SiteOnDay
    tests: RecordedTests

    @cached_property
    def missed(self) -> Missed:
        """Limits broken, or nearly, in the last ten years."""
        return _missed(self.site.assessed)

    @cached_property
    def subjects_named(self) -> Mapping[tuple[Subject, str], Named]:
        """What each name that may stand in a decision is the name of."""
        return subjects_named(self.site.assessed)

    def finding(self, kind: str, about: About, id_: str, **values: object) -> Found:
        """Return a finding with the id of its sentence, and its day if it has one."""
        on = values.get(_DAY.get(id_, ""))
        return Found(
            kind=kind,
            about=about,
            told=Told(f"find.{id_}", values),
            on=on if isinstance(on, dt.date) else None,
        )


Finder = Callable[[Seen], Iterator[Found]]
