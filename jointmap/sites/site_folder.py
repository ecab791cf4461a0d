"""A site folder: where the register is and how it is shown."""

import datetime as dt
import os
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from jointmap.errors import Problem, Refused, WrongUse
from jointmap.files import SiteMark
from jointmap.files.names import REGISTER, SETTINGS_FILE, TEMPLATES
from jointmap.files.single import write_private
from jointmap.files.turns import clear_beside, turn
from jointmap.how_far import HowFar, to_nobody
from jointmap.incoming import read_plain_file, read_toml, text_of
from jointmap.incoming.size_limits import SETTINGS_BYTES
from jointmap.plain_text import json_text
from jointmap.register.told import Told
from jointmap.sites.site_making import (
    begun_elsewhere,
    check_address,
    check_code,
    free_place,
    make_register,
    private_folder,
    put_site,
)
from jointmap.storage import Register
from jointmap.storage.database import sqlite_url, without_password
from jointmap.storage.register_file import Trial
from jointmap.wording import say

DATABASE_VARIABLE = "JOINTMAP_DATABASE"
DATABASE = REGISTER
SETTINGS = ("code", "database", "fixed_day")


@dataclass(frozen=True, slots=True)
class SiteFolder:
    """An open site folder."""

    path: Path
    register: Register
    fixed_day: dt.date | None = None
    # What tries the readers on a change before it is kept; without it nothing is tried.
    trial: Callable[["SiteFolder", dt.datetime, HowFar], Trial] | None = None

    def trial_at(self, now: dt.datetime, tell: HowFar = to_nobody) -> Trial | None:
        """Return the trial of a change made ``now``, if changes are tried."""
        return None if self.trial is None else self.trial(self, now, tell)


def mark_of(site: SiteFolder) -> SiteMark:
    """Return by what published folders know a site again."""
    with site.register.read() as state:
        first = state.all_entries[0].fingerprint
    return SiteMark(site.register.site_code, first)


def new_site(
    path: Path,
    code: str,
    key: bytes,
    fixed_day: dt.date | None = None,
    database: str = DATABASE,
) -> SiteFolder:
    """Make an empty site: settings, an empty register, fill-in templates.

    ``database`` is a file name in the folder or an address. The folder comes into its
    place whole, so that a call that was stopped may be repeated. Raises ``WrongUse``
    where the folder holds anything, or the database a site of this code.
    """
    check_code(code)
    check_address(database)
    clear_beside(path)
    if os.path.lexists(path / SETTINGS_FILE):
        raise WrongUse(Problem("site.exists", {"place": str(path)}))
    place = free_place(path)
    with turn(place) as mine:
        free_place(path)
        folder = private_folder(mine.draft)
        _write_templates(folder / TEMPLATES)
        write_settings(folder, code, fixed_day, database)
        address = address_of(folder, database)
        with begun_elsewhere(mine, code, address) as before:
            make_register(folder, address, code, key, before=before)
        put_site(mine)
    register = Register.open(address_of(path, database), code, fixed_day)
    return SiteFolder(path, register, fixed_day)


def write_settings(
    path: Path, code: str, fixed_day: dt.date | None, database: str
) -> None:
    """Write site.toml; a password in the address of the database is left out."""
    texts = {"code": code, "database": without_password(database)}
    lines = [f"# {say('site.settings')}"]
    lines += [f"{name} = {json_text(text)}" for name, text in texts.items()]
    if fixed_day is not None:
        lines.append(f"fixed_day = {fixed_day}  # {say('site.training')}")
    write_private(path / SETTINGS_FILE, "".join(f"{li}\n" for li in lines).encode())


def open_site(
    path: Path, *, clock_is_right: bool = False, only_reads: bool = False
) -> SiteFolder:
    """Open a site folder; raises ``WrongUse`` where it is none.

    ``clock_is_right`` lets a time be recorded that is far from all others at hand.
    With ``only_reads`` the database itself refuses whatever would write.
    """
    code, address, fixed_day = read_settings(path)
    register = Register.open(address, code, fixed_day, only_reads=only_reads)
    opened = SiteFolder(path, register, fixed_day)
    return by_clock(opened) if clock_is_right else opened


def by_clock(site: SiteFolder) -> SiteFolder:
    """Return a site whose writer's clock was said to be right."""
    return replace(site, register=replace(site.register, clock_is_right=True))


def read_settings(path: Path) -> tuple[str, str, dt.date | None]:
    """Return a site folder's code, address of its database, and fixed day."""
    settings = _settings(path)
    code, fixed_day = settings.get("code"), settings.get("fixed_day")
    database = settings.get("database", DATABASE)
    if not (isinstance(code, str) and isinstance(database, str)):
        raise _bad_settings(Told("site.texts_in_quotes"))
    # A date and time is a date too, to Python.
    if fixed_day is not None and type(fixed_day) is not dt.date:
        raise _bad_settings(Told("site.day_without_quotes"))
    return code, address_of(path, database), fixed_day


def _settings(path: Path) -> dict[str, Any]:
    try:
        data = read_plain_file(path / SETTINGS_FILE, SETTINGS_BYTES)
    except OSError:
        raise WrongUse(Problem("site.none", {"place": str(path)})) from None
    return read_toml(SETTINGS_FILE, text_of(SETTINGS_FILE, data), "site.bad_settings")


def _bad_settings(error: str | Told) -> Refused:
    return Refused(Problem("site.bad_settings", {"error": error}, SETTINGS_FILE))


def address_of(path: Path, database: str) -> str:
    """Return the database's address: that of the environment, else as given."""
    given = os.environ.get(DATABASE_VARIABLE, database)
    return given if "://" in given else sqlite_url((path / given).absolute())


def _write_templates(folder: Path) -> None:
    # Whoever only reads a register need not load what reads files.
    from jointmap.exchange import SHEETS

    private_folder(folder)
    for sheet in SHEETS.values():
        if sheet.suffix == ".csv":
            heading = ",".join(sheet.accepted) + "\n"
            write_private(folder / f"{sheet.name}.csv", heading.encode())
    labels = [f'# {label} = ""\n' for label in SHEETS["this_site"].accepted]
    write_private(folder / "this_site.toml", "".join(labels).encode())


def day_asked(
    site: SiteFolder, now: dt.datetime, on: dt.date | None, known: dt.date | None
) -> dt.date:
    """Return ``on``; else the day of ``known``; else today.

    Today is the site's fixed training day, or the day at the site at ``now``. A day
    to come may be asked about; what will be known then may not: ``WrongUse``.
    """
    if known is not None:
        check_not_to_come(site, now, "--known", known)
    if on is not None:
        return on
    today = today_at(site, now)
    return today if known is None else min(known, today)


def check_not_to_come(
    site: SiteFolder, now: dt.datetime, option: str, day: dt.date
) -> None:
    """Raise ``WrongUse`` for a day after today on which nothing was recorded yet."""
    today = today_at(site, now)
    if day <= today:
        return
    with site.register.read() as state:
        zone = ZoneInfo(state.site.time_zone)
        # A training site's day is fixed, and what is loaded later is known later.
        last = max(today, state.last.recorded_at.astimezone(zone).date())
    if day > last:
        facts = {"day": day, "today": today, "last": last, "option": option}
        raise WrongUse(Problem("day.to_come", facts))


def today_at(site: SiteFolder, now: dt.datetime) -> dt.date:
    """Return the site's fixed training day, or the day at the site at ``now``."""
    if site.fixed_day is not None:
        return site.fixed_day
    with site.register.read() as state:
        return now.astimezone(ZoneInfo(state.site.time_zone)).date()
