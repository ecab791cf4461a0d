"""Where output may go: not among a site's own files, not over those of others."""

import os
import stat
from collections.abc import Iterator
from pathlib import Path

from jointmap.errors import Problem, WrongUse
from jointmap.files.manifest import read_manifest
from jointmap.files.marks import is_ours, is_record
from jointmap.files.names import JOURNALS, MANIFEST, SETTINGS_FILE

_PACKAGE = Path(os.path.realpath(__file__)).parents[1]


def place_of(out: Path) -> Path:
    """Return where ``out`` leads, through links and ``..``, if output may go there.

    Raises ``WrongUse`` within a site folder, beside whose files nothing may be laid,
    and within the program.
    """
    place = Path(os.path.realpath(out))
    for folder in (place, *place.parents):
        if os.path.lexists(folder / SETTINGS_FILE):
            facts = {"place": str(out), "site": str(folder)}
            raise WrongUse(Problem("output.in_site", facts))
    if place == _PACKAGE or _PACKAGE in place.parents:
        raise WrongUse(Problem("output.in_program", {"place": str(out)}))
    if _is_special(out):
        raise WrongUse(Problem("output.no_file", {"place": str(out)}))
    if not place.name or place.is_mount():
        raise WrongUse(Problem("output.mount", {"place": str(out)}))
    return place


def _is_special(out: Path) -> bool:
    """Whether a device, a pipe or the like is there, under any of its names.

    What /dev/stdout leads to has no name of its own that a file could be put under.
    """
    try:
        kind = out.stat().st_mode
    except OSError:
        return False  # nothing there, or nothing that may be looked at
    return not (stat.S_ISREG(kind) or stat.S_ISDIR(kind))


def check_output(out: Path, *, force: bool = False) -> Path:
    """Return the place of a file that may be written: a new one, or one of ours.

    ``force`` allows a file that this program did not write, but never a register, a
    backup, a page of a published folder. Raises ``WrongUse`` with what is in the way.
    """
    place = place_of(out)
    facts = {"place": str(out)}
    if not place.parent.is_dir():
        folder = {"place": str(out), "folder": str(place.parent)}
        raise WrongUse(Problem("output.no_folder", folder))
    if place.is_dir():
        raise WrongUse(Problem("output.is_folder", facts))
    if _is_journal(place):
        raise WrongUse(Problem("output.record", facts))
    if os.path.lexists(place):
        _check_existing(place, facts, force=force)
    return place


def _check_existing(place: Path, facts: dict[str, str], *, force: bool) -> None:
    if not place.is_file():
        raise WrongUse(Problem("output.no_file", facts))
    if is_record(place):
        raise WrongUse(Problem("output.record", facts))
    if folder := listed_in(place):
        raise WrongUse(Problem("output.page", {**facts, "folder": str(folder)}))
    if not (force or is_ours(place)):
        raise WrongUse(Problem("output.not_ours", facts))


def _is_journal(place: Path) -> bool:
    """Whether a file of this name would be taken for part of a register beside it."""
    ending = next((e for e in JOURNALS if place.name.lower().endswith(e)), "")
    register = place.with_name(place.name[: len(place.name) - len(ending)])
    return bool(ending) and register.is_file() and is_record(register)


def listed_in(place: Path) -> Path | None:
    """Return the published folder of which a file is one of the pages."""
    for folder in published_above(place):
        manifest = read_manifest(folder)
        if manifest and place.relative_to(folder).as_posix() in manifest.files:
            return folder
    return None


def published_above(place: Path) -> Iterator[Path]:
    """Yield the published folders in which a place lies, the innermost first."""
    yield from (p for p in place.parents if (p / MANIFEST).is_file())


def check_new_place(out: Path) -> Path:
    """Return the place of what must be new: absent, in no site, in no published folder.

    The folder above it need not be there.
    """
    place = place_of(out)
    if folder := next(published_above(place), None):
        facts = {"place": str(out), "folder": str(folder)}
        raise WrongUse(Problem("output.in_pages", facts))
    if _is_journal(place):
        raise WrongUse(Problem("output.record", {"place": str(out)}))
    return place
