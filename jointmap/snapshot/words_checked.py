"""Words of a row that only a later command would stumble over: clocks, days, zones."""

import datetime as dt
from collections.abc import Callable, Iterator
from zoneinfo import ZoneInfo

from jointmap.errors import Problem, Refused
from jointmap.location import check_name, to_working
from jointmap.register import Crew, Joint, Site
from jointmap.routes import clock_second, open_days, working_days

_ANY_MONTH = dt.date(2000, 1, 1)


def words_of_site(site: Site, code: str) -> Iterator[Problem]:
    """Yield what is wrong with the code, the time zone and the working system."""
    if site.code != code:
        yield Problem("site.other_code", {"code": code}, column="code", value=site.code)
    try:
        ZoneInfo(site.time_zone)
    except (KeyError, ValueError, OSError):
        yield Problem("site.zone", column="time_zone", value=site.time_zone)
    yield from _read("working_crs", site.working_crs, _working)


def words_of_crew(crew: Crew) -> Iterator[Problem]:
    """Yield what is wrong with a crew's hours and days."""
    yield from _read("day_from", crew.day_from, clock_second)
    yield from _read("day_until", crew.day_until, clock_second)
    yield from _read("working_days", crew.working_days, _days)


def words_of_joint(joint: Joint) -> Iterator[Problem]:
    """Yield what is wrong with a joint's permit hours and season."""
    yield from _read("permit_from", joint.permit_from, clock_second)
    yield from _read("permit_until", joint.permit_until, clock_second)
    yield from _read("season_from", joint.season_from, _season)
    yield from _read("season_until", joint.season_until, _season)


def _read(column: str, text: str, read: Callable[[str], object]) -> Iterator[Problem]:
    try:
        read(text)
    except Refused as refused:
        for problem in refused.problems:
            yield Problem(problem.id, problem.values, column=column, value=text)


def _working(crs: str) -> object:
    check_name(crs)
    return to_working([0.0], [0.0], crs)


def _days(text: str) -> object:
    return working_days(text.replace(";", "; "), [], _ANY_MONTH)


def _season(text: str) -> object:
    return open_days(text, text, [], _ANY_MONTH)
