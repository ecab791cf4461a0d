"""A month planned: stops, routes, and what every page of it asks for."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from jointmap.assessment.section_current import last_outputs
from jointmap.assessment.site_on_day import day_of
from jointmap.errors import BrokenRegister
from jointmap.pages.file_names import file_names
from jointmap.pages.month.task import MonthTask, month_task
from jointmap.pages.showing import Showing
from jointmap.register import IsolationTest
from jointmap.routes import Plan, faults, greedy
from jointmap.snapshot.shown_places import ShownPlaces, shown_places
from jointmap.wording import say


@dataclass(frozen=True)
class Planned:
    """A month's plan with what its pages need."""

    showing: Showing
    task: MonthTask
    plan: Plan
    places: ShownPlaces
    month: str

    @cached_property
    def outputs(self) -> Mapping[int, IsolationTest]:
        """The last reading of the output of each current source, by id."""
        return last_outputs(self.showing.assessed)

    def sheet_file(self, crew_day: int) -> str:
        """Return the file name of one crew's day."""
        days = self.task.crew_days
        stems = file_names(crew.name for _, crew in self.task.crews)
        crew = dict(self.task.crews)[int(days.crew[crew_day])].name
        return f"{day_of(days.day_on[crew_day])}-{stems[crew].lower()}.html"


def plan_month(
    showing: Showing, first: dt.date, month: str, most: int | None = None
) -> Planned:
    """Return a checked plan; a plan that fails our own check is never shown.

    With ``most`` only that many lines of the due list, in need of a test or not.
    """
    task = month_task(showing, first, most)
    plan = greedy(task.stops, task.crew_days, task.travel)
    wrong = faults(plan, task.stops, task.crew_days, task.travel)
    if wrong:
        raise BrokenRegister(wrong)
    places = shown_places(showing.state, showing.assessed.ground)
    return Planned(showing, task, plan, places, month)


def travel_note(estimated: bool) -> str:
    """Return how travel was reckoned."""
    return say("month.estimated") if estimated else say("month.by_road")


def permit_hours(start: str, end: str) -> str:
    """Return permit hours as text; blank for none."""
    return f"{start} to {end}" if start or end else ""
