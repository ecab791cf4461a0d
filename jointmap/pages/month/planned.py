"""A month planned: stops, routes, and what every page of it asks for."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from jointmap.assessment.site_on_day import day_of
from jointmap.errors import BrokenRegister
from jointmap.pages.file_names import file_names
from jointmap.pages.method_choice import method_code_for
from jointmap.pages.month.task import MonthTask, month_task
from jointmap.pages.showing import Showing
from jointmap.register import CurrentSource
from jointmap.routes import Plan, faults, greedy
from jointmap.snapshot.feeds import sources_of
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


def sources_for(planned: Planned, visit: int) -> Iterator[str]:
    """Yield the current sources to be interrupted for a visit by potential shift."""
    showing = planned.showing
    stop_id = int(planned.plan.visits.joint_id[visit])
    joint = showing.joints[planned.task.joint_of[stop_id]]
    item = planned.task.members_of[stop_id][0]
    items = showing.assessed.items
    subject = int(items.subject[item]), int(items.subject_id[item])
    if method_code_for(showing, *subject) != "potential-shift":
        return
    boundary = showing.boundaries[joint.boundary_id]
    sides = (boundary.structure_a_id, boundary.structure_b_id)
    a, b = (_switched(showing, side) for side in sides)
    for own, other in ((a, b), (b, a)):
        if own and not own.keys() & other.keys():
            # One side only: with both cycling every sound joint would read shorted.
            yield from (source.name for source in own.values())
            return


def _switched(showing: Showing, structure_id: int) -> dict[int, CurrentSource]:
    found = sources_of(showing.state, showing.fed, structure_id)
    return {id_: s for id_, s in found.items() if s.can_be_interrupted}


def travel_note(estimated: bool) -> str:
    """Return how travel was reckoned."""
    return say("month.estimated") if estimated else say("month.by_road")


def permit_hours(start: str, end: str) -> str:
    """Return permit hours as text; blank for none."""
    return f"{start} to {end}" if start or end else ""
