"""A site in a notebook: the questions of the command line, with tables as answers."""

import datetime as dt
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TypeAlias

import geopandas as gpd
import pandas as pd

from jointmap.errors import JointmapError, Problem, WrongUse
from jointmap.exchange.geodata import lines_frame, points_frame
from jointmap.notebook.frames import frame_of
from jointmap.pages.due.page import due_table
from jointmap.plain_text import visible_lines
from jointmap.sites.site_folder import SiteFolder, day_asked, open_site
from jointmap.wording.problems import lines_of
from jointmap.workflows import day_tables
from jointmap.workflows.kept_days import KeptDay, KeptDays
from jointmap.workflows.why import why_told

Day: TypeAlias = dt.date | str | None


class Text(str):
    """A text of several lines; a notebook shows it line by line."""

    __slots__ = ()

    def __repr__(self) -> str:
        return str(self)


class OpenSite:
    """A site whose register is only read.

    Each question takes ``on``, the day that it is about, and ``known``: as known at the
    end of that day. Both are dates or texts such as ``"2026-05-15"``; ``known`` alone
    sets the day; without either it is today at the site, or the day of a training site.
    A day that is asked again is not read again while the register stays as it is.

    Each raises what the command line would end with, with the same sentences:
    ``WrongUse`` for a day or a name that is none, ``Refused`` for a register that is
    busy or that a stopped writer left behind, ``BrokenRegister`` for a damaged one.
    """

    def __init__(self, site: SiteFolder) -> None:
        self._site = site
        self._days = KeptDays(site)

    def __repr__(self) -> str:
        return f"<jointmap site {self._site.register.site_code}, {self._site.path}>"

    def joints(self, *, on: Day = None, known: Day = None) -> gpd.GeoDataFrame:
        """Return the joints with verdict and next day, as ``export`` writes them.

        One row per joint, a point in EPSG:4326 as geometry; none without a place.
        """
        with self._asked(on, known) as day:
            columns, places = day_tables.joint_table(day.showing)
        longitude, latitude = (
            places.longitude_deg.tolist(),
            places.latitude_deg.tolist(),
        )
        return points_frame(frame_of(columns), longitude, latitude)

    def lines(self, *, on: Day = None, known: Day = None) -> gpd.GeoDataFrame:
        """Return the centrelines of the pipelines by name, in EPSG:4326."""
        with self._asked(on, known) as day:
            columns, courses = day_tables.line_table(day.showing)
        return lines_frame(frame_of(columns), courses)

    def due(
        self, *, until: Day = None, on: Day = None, known: Day = None
    ) -> pd.DataFrame:
        """Return the due list, one row per joint, path, boundary or source.

        ``because`` and ``source`` say why each day is what it is. With ``until`` only
        what is planned up to that day.
        """
        with self._asked(on, known) as day:
            columns = due_table(day.showing, _day(until))
        return frame_of(day_tables.shown(columns))

    def tests(self, *, on: Day = None, known: Day = None) -> pd.DataFrame:
        """Return the tests made up to the day, the newest first.

        Readings in the unit that ends a column's name; ``verdict`` with ``because``,
        ``limit`` and its ``source``; ``counts`` tells whether it may move a date.
        """
        with self._asked(on, known) as day:
            return frame_of(day_tables.table_of_tests(day.tests))

    def boundaries(self, *, on: Day = None, known: Day = None) -> pd.DataFrame:
        """Return the electrical boundaries, the worst first, each with its reason."""
        with self._asked(on, known) as day:
            return frame_of(day_tables.boundary_table(day.showing))

    def findings(self, *, on: Day = None, known: Day = None) -> pd.DataFrame:
        """Return every finding with its sentence, as the command ``findings``."""
        with self._asked(on, known) as day:
            return frame_of(day_tables.finding_table(day.showing, day.tests))

    def why(self, name: str, *, on: Day = None, known: Day = None) -> Text:
        """Return how date and verdict of a joint, boundary or path come about.

        ``name`` is a name or an older name, as for the command ``why``.
        """
        with self._asked(on, known) as day:
            return Text(visible_lines(why_told(day.showing, name)))

    @contextmanager
    def _asked(self, on: Day, known: Day) -> Iterator[KeptDay]:
        with _told():
            known_on = _day(known)
            now = dt.datetime.now(dt.UTC)
            day = day_asked(self._site, now, _day(on), known_on)
            with self._days.asked(day, known_on) as kept:
                yield kept


def open(path: str | os.PathLike[str]) -> OpenSite:  # noqa: A001 - `jointmap.open`
    """Open a site folder, or a register's site of a server, to ask it questions.

    Nothing is written, kept open or locked between two questions. Raises ``WrongUse``
    where the folder is no site.
    """
    with _told():
        return OpenSite(open_site(Path(path), only_reads=True))


def _day(given: Day) -> dt.date | None:
    if given is None:
        return None
    if isinstance(given, dt.datetime):
        return given.date()
    if isinstance(given, dt.date):
        return given
    try:
        return dt.date.fromisoformat(given)
    except (TypeError, ValueError):
        raise WrongUse(Problem("call.bad_day", {"day": repr(given)})) from None


@contextmanager
def _told() -> Iterator[None]:
    """Let an error read as the sentences that the command line prints."""
    try:
        yield
    except JointmapError as error:
        error.args = ("\n".join(lines_of(error.problems)),)
        raise
