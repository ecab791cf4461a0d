"""Whether a machine's clock can be right, before anything is dated by it.

A pause of weeks is normal. A step back of more than a day, or a step of more than a
year beyond every other time at hand, is asked.
"""

import datetime as dt
from collections.abc import Iterable, Iterator
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.engine import Connection

from jointmap.errors import Problem, WrongUse
from jointmap.storage.chain.entries import Entry
from jointmap.storage.place_named import place_of

BACK = dt.timedelta(days=1)
AHEAD = dt.timedelta(days=366)

# What tells a time, if it is no file.
ENTRY = "entry"
SERVER = "server"

Time = tuple[dt.datetime, str]  # an instant, and what tells it


def check_clock(
    connection: Connection,
    now: dt.datetime,
    before: Entry | None,
    delivered: Iterable[Time],
) -> None:
    """Refuse a time that is far from all others; raises ``WrongUse``.

    ``before`` is the last entry, ``delivered`` the times of the files that are loaded.
    """
    if before is not None and now < before.recorded_at - BACK:
        raise _asked("clock_back", now, (before.recorded_at, ENTRY))
    entry = [] if before is None else [(before.recorded_at, ENTRY)]
    newest = max([*entry, *_of_the_database(connection), *delivered], default=None)
    if newest is not None and now > newest[0] + AHEAD:
        raise _asked("clock_ahead", now, newest)


def times_of(files: Iterable[Path]) -> Iterator[Time]:
    """Yield when each file was last written; of one that cannot be asked, nothing."""
    for file in files:
        try:
            seconds = file.stat().st_mtime
            yield dt.datetime.fromtimestamp(seconds, dt.UTC), file.name
        except (OSError, OverflowError, ValueError):
            continue


def _of_the_database(connection: Connection) -> Iterator[Time]:
    """Yield when the register's file was written, or what a server's clock says."""
    if connection.dialect.name == "sqlite":
        yield from times_of([Path(place_of(connection.engine.url))])
        return
    clock = connection.scalar(sa.text("SELECT clock_timestamp()"))
    if clock is not None:
        yield clock, SERVER


def _asked(name: str, now: dt.datetime, other: Time) -> WrongUse:
    at, told = other
    facts = {"now": _shown(now), "other": _shown(at), "file": told}
    kind = f"_{told}" if told in {ENTRY, SERVER} else "_file"
    return WrongUse(Problem(f"storage.{name}{kind}", facts))


def _shown(at: dt.datetime) -> str:
    return at.strftime("%Y-%m-%d %H:%M UTC")
