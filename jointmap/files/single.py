"""One file, written whole or not at all."""

import os
import shutil
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from typing import BinaryIO

from jointmap.errors import Problem
from jointmap.files.locks import PRIVATE
from jointmap.files.marks import is_ours
from jointmap.files.output_places import check_output
from jointmap.files.published import outer
from jointmap.files.turns import turn

Making = Callable[[Path], object]
_PRIVATE = 0o600


def put_file(
    out: Path, made: str | bytes | Making, *, force: bool = False
) -> list[Problem]:
    """Write one file where output may go; return what there is to tell.

    ``made`` is its content, or what writes it at a path of the same ending. Raises
    ``WrongUse`` for a place of others, unless forced.
    """
    place = check_output(out, force=force)
    with ExitStack() as stack:
        for folder in outer(place):
            stack.enter_context(turn(folder))
        mine = stack.enter_context(turn(place))
        check_output(out, force=force)
        told = _replaced(place, out)
        _write(mine.draft, made)
        if place.exists():
            shutil.copymode(place, mine.draft)
        mine.put()
    return told


def _write(draft: Path, made: str | bytes | Making) -> None:
    if callable(made):
        made(draft)
    else:
        draft.write_bytes(made.encode() if isinstance(made, str) else made)


def _replaced(place: Path, out: Path) -> list[Problem]:
    if not place.exists() or is_ours(place):
        return []
    facts = {"place": str(out), "size": place.stat().st_size}
    return [Problem("output.replaced", facts)]


def make_private_folder(path: Path) -> None:
    """Make a folder into which only its owner may look, unless it is there."""
    path.mkdir(mode=PRIVATE, exist_ok=True)


def put_private(place: Path, data: bytes) -> None:
    """Write a file of a site's own, for its owner's eyes only."""
    with turn(place) as mine:
        write_private(mine.draft, data)
        mine.put()


def write_private(path: Path, data: bytes = b"") -> None:
    """Write a new file that nobody but its owner may read, from the first byte on."""
    with open_private(path) as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def open_private(path: Path) -> BinaryIO:
    """Make a new file that nobody but its owner may read, and open it to be written."""
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    return open(os.open(path, flags, _PRIVATE), "wb")  # noqa: PTH123 - a number
