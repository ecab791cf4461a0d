"""A turn at a place: drafts lie beside it, then they change places with it.

A run that was stopped leaves one folder beside the place. Whoever has the next turn
there, or at another place of the same folder, clears it away; before that it puts back
what a stopped exchange had taken from its place.
"""

import ctypes
import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path

from jointmap.errors import JointmapError, Problem, Refused, WrongUse
from jointmap.files.locks import PRIVATE, give_back, take
from jointmap.files.names import (
    ASIDE,
    BEGUN,
    NEW,
    OLD,
    SETTINGS_FILE,
    beside,
    made_ready_for,
)

_HERE = -100  # AT_FDCWD: paths count from the working folder
_EXCHANGE = 2  # RENAME_EXCHANGE


@dataclass(frozen=True, slots=True)
class Turn:
    """The right to put something in one place; others wait."""

    place: Path

    @property
    def beside(self) -> Path:
        """The folder in which drafts lie; nobody else may look into it."""
        return beside(self.place)

    @property
    def draft(self) -> Path:
        """Where to make ready what goes to the place, under its own name."""
        folder = self.beside / NEW
        folder.mkdir(mode=PRIVATE, exist_ok=True)
        return folder / self.place.name

    @property
    def aside(self) -> Path:
        """A folder for what is needed on the way and goes nowhere."""
        folder = self.beside / ASIDE
        folder.mkdir(mode=PRIVATE, exist_ok=True)
        return folder

    @property
    def begun(self) -> Path:
        """A note that outlives a stopped run, for the next run at this place."""
        return self.beside / BEGUN

    def put(self) -> Path | None:
        """Put the draft in its place at once; return where the old folder lies now."""
        place, draft = self.place, self.draft
        if not (draft.is_dir() and place.is_dir()):
            draft.replace(place)
            return None
        if exchanged(draft, place):
            return draft
        old = self.beside / OLD
        place.replace(old)
        try:
            draft.replace(place)
        except OSError:
            old.replace(place)
            raise
        return old


@contextmanager
def turn(place: Path) -> Iterator[Turn]:
    """Wait for the turn at ``place`` and give it.

    Drafts are gone at the end, however it ends; of what other, stopped runs left in the
    same folder too.
    """
    clear_left(place.parent, but=place)
    lock = take(beside(place))
    if lock is None:
        raise Refused(Problem("output.busy", {"place": str(place)}))
    try:
        _put_back(place)
        _clear(beside(place))
        yield Turn(place)
    except JointmapError as error:
        error.problems = tuple(_of_place(p, place) for p in error.problems)
        raise
    except OSError as error:
        if error.filename is None:  # a full disk names no file
            error.filename = str(place)
        raise
    finally:
        _clear(beside(place))
        give_back(lock, beside(place))


def _of_place(problem: Problem, place: Path) -> Problem:
    """Name the place where a draft for it is named, which is gone when this is read."""
    told = Path(str(problem.values.get("place", "")))
    if beside(place) not in told.parents:
        return problem
    return replace(problem, values={**problem.values, "place": str(place)})


def clear_left(folder: Path, but: Path | None = None) -> None:
    """Clear away what stopped runs left in a folder; what is in use stays.

    A site's own folder is left to the site.
    """
    if os.path.lexists(folder / SETTINGS_FILE):
        return
    with suppress(OSError):
        left = [p for p in folder.iterdir() if made_ready_for(p)]
        for path in left:
            if but is None or path != beside(but):
                _clear_one(path)


def clear_beside(out: Path) -> None:
    """Clear away what stopped runs left beside ``out``, before it is found finished."""
    clear_left(Path(os.path.realpath(out)).parent)


def _clear_one(path: Path) -> None:
    place = made_ready_for(path)
    if place is None or path.is_symlink() or not path.is_dir():
        return
    if (path / BEGUN).exists() and not os.path.lexists(place / SETTINGS_FILE):
        return
    # What is not ours, or not to be changed by us, is no reason to stop.
    with suppress(OSError, WrongUse):
        lock = take(path, tries=1)
        if lock is not None:
            _put_back(place)
            _clear(path)
            (path / BEGUN).unlink(missing_ok=True)
            give_back(lock, path)


def _put_back(place: Path) -> None:
    old = beside(place) / OLD
    if old.exists() and not os.path.lexists(place):
        old.replace(place)


def _clear(folder: Path) -> None:
    for name in (NEW, OLD, ASIDE):
        shutil.rmtree(folder / name, ignore_errors=True)


def exchanged(one: Path, other: Path) -> bool:
    """Let two folders change places in one step; false where the system cannot."""
    if not sys.platform.startswith("linux"):
        return False
    try:
        call = ctypes.CDLL(None, use_errno=True).renameat2
    except AttributeError:  # an older library
        return False
    first, second = os.fsencode(one), os.fsencode(other)
    return bool(call(_HERE, first, _HERE, second, _EXCHANGE) == 0)
