"""What a finder is given, and what it makes."""

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from jointmap.assessment.deferrals import Named, subjects_named
from jointmap.intervals import Missed
from jointmap.pages.due.steps import missed_of
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.register.codes import Subject
from jointmap.reports.views import Finding, Link
from jointmap.wording import say

# Which of a finding's values is the day it is about.
_DAY = {
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


@dataclass(frozen=True)
class Seen:
    """An assessment as the finders see it."""

    showing: Showing
    tests: ShownTests

    @cached_property
    def missed(self) -> Missed:
        """Limits broken, or nearly, in the last ten years."""
        return missed_of(self.showing)

    @cached_property
    def subjects_named(self) -> Mapping[tuple[Subject, str], Named]:
        """What each name that may stand in a decision is the name of."""
        return subjects_named(self.showing.assessed)

    def finding(self, kind: str, subject: Link, id_: str, **values: object) -> Finding:
        """Return a finding with its sentence made, and its day if it has one."""
        on = values.get(_DAY.get(id_, ""))
        return Finding(
            kind=kind,
            subject=subject,
            sentence=say(f"find.{id_}", values),
            on=on if isinstance(on, dt.date) else None,
        )


Finder = Callable[[Seen], Iterator[Finding]]
