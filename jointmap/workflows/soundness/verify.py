"""Verify a site: database, chain, rows, files, settings, a fingerprint from outside."""

from dataclasses import dataclass
from pathlib import Path

from jointmap.attached.shown_copies import copy_problems
from jointmap.errors import Problem
from jointmap.files.names import SETTINGS_FILE
from jointmap.how_far import HowFar, to_nobody
from jointmap.sites.site_folder import SiteFolder, open_site, read_settings
from jointmap.storage.database import file_of
from jointmap.storage.place_named import place_of
from jointmap.storage.verifying.checking import (
    Checked,
    check_register,
    reading_problems,
)
from jointmap.storage.verifying.file_pages import header_faults
from jointmap.storage.verifying.verify import attached_hashes
from jointmap.wording import say
from jointmap.wording.problems import line_of
from jointmap.workflows.soundness.site_files import (
    file_problems,
    name_problems,
    right_problems,
    setting_problems,
)

MOST_FILES = 20  # that are named
# What lies beside the register or stands in the settings: each line says what to do.
BESIDE = {
    "verify.setting", "verify.fixed_day", "verify.file_foreign", "verify.file_link",
    "verify.file_names", "verify.file_not_plain", "verify.copy_foreign",
}  # fmt: skip
# What is told and no fault.
TOLD = ("verify.file_left", "verify.copy_older", "verify.file_open")


@dataclass(frozen=True, slots=True)
class VerifyReport:
    """The lines to show, and whether all is sound."""

    lines: tuple[str, ...]
    is_sound: bool


def lines_of(checked: Checked) -> tuple[str, ...]:
    """Return a line for each problem that is named, and what to do."""
    return _broken(checked.problems, checked.more)


def _broken(problems: tuple[Problem, ...], more: int = 0) -> tuple[str, ...]:
    named = len(problems)
    facts = {"count": named + more, "named": named}
    first = say("verify.first", facts) if more else ""
    lines = [line_of(problem) for problem in problems]
    within = any(p.id not in BESIDE for p in problems)
    end = "verify.broken" if within else "verify.beside"
    return (*lines, say(end, {**facts, "first": first}))


def verify_site(
    path: Path, against: str | None = None, tell: HowFar = to_nobody
) -> VerifyReport:
    """Go through a whole site folder and its register.

    Raises ``WrongUse`` for a malformed fingerprint, and for what is no site.
    """
    settings = path / SETTINGS_FILE
    if settings.is_symlink():
        # No link is read, so nothing behind it can be told.
        linked = Problem("verify.file_link", {"place": str(settings)})
        return VerifyReport(_broken((linked,)), is_sound=False)
    code, address, _ = read_settings(path)
    wrong = reading_problems(address, code)
    if wrong:
        return VerifyReport(_broken(wrong), is_sound=False)
    head = (*header_faults(file_of(address)),)
    site = open_site(path)
    checked = check_register(site.register, site.path, against, tell)
    others = _others(site)
    odd = [p for p in others if p.id not in TOLD]
    wrong = (*head, *checked.problems, *odd[:MOST_FILES])
    if wrong:
        more = checked.more + len(odd[MOST_FILES:])
        return VerifyReport(_broken(wrong, more), is_sound=False)
    lines = _told(others)
    return VerifyReport((*lines, *_sound(checked, against)), is_sound=True)


def _told(problems: tuple[Problem, ...]) -> list[str]:
    """Return a line for each of the first problems that are no faults."""
    lines = [line_of(problem) for problem in problems[:MOST_FILES]]
    more = len(problems[MOST_FILES:])
    return [*lines, say("verify.more", {"more": more})] if more else lines


def _sound(checked: Checked, against: str | None) -> tuple[str, ...]:
    facts = {
        "entries": checked.entries,
        "rows": checked.rows,
        "fingerprint": checked.fingerprint,
        "compared": "" if against else say("verify.alone"),
    }
    sound = say("verify.sound" if checked.entries else "verify.empty", facts)
    if against is None:
        return (sound,)
    return sound, say("verify.held", {"fingerprint": against})


def _others(site: SiteFolder) -> tuple[Problem, ...]:
    """Return what is in folder and settings that is no part of the site."""
    register = site.register
    is_file = register.engine.dialect.name == "sqlite"
    database = Path(place_of(register.engine.url)) if is_file else None
    with register.looking() as connection:
        kept = {sha256 for sha256, _ in attached_hashes(connection, register.site_id)}
    return (
        *setting_problems(site.path),
        *file_problems(site.path, database, kept),
        *copy_problems(site.path, register.key, kept),
        *name_problems(site.path, database),
        *right_problems(site.path, database),
    )
