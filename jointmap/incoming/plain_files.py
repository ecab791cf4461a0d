"""Opening a file that somebody named: a plain file, of a size that is stated.

A pipe would wait for ever, a device never end, a link lead out of the delivery. So
nothing is waited for, no link is followed, and what was opened is looked at before
any of it is read: between a look and an opening the file could be another.
"""

import errno
import os
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from jointmap.errors import Problem, Refused
from jointmap.incoming.size_limits import (
    DELIVERY_BYTES,
    DELIVERY_ROWS,
    FILE_BYTES,
    Limit,
    beyond,
)
from jointmap.register.told import Told

# Windows has none of these; there a link is looked for before it is opened.
_FLAGS = os.O_RDONLY | sum(
    getattr(os, name, 0)
    for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_CLOEXEC", "O_NOCTTY", "O_BINARY")
)
_PIECE = 2**20
_LINK_ERRORS = (errno.ELOOP, errno.EMLINK)
_KINDS = (
    (stat.S_ISDIR, "a folder"),
    (stat.S_ISFIFO, "a pipe"),
    (stat.S_ISCHR, "a device"),
    (stat.S_ISBLK, "a device"),
    (stat.S_ISSOCK, "a socket"),
)


def open_named_file(path: Path, limit: Limit | None = FILE_BYTES) -> BinaryIO:
    """Return a plain file that a person named, opened; ``Refused`` for all else."""
    try:
        return open_plain_file(path, limit)
    except FileNotFoundError:
        raise Refused(Problem("file.not_found", file=str(path))) from None
    except (OSError, ValueError) as error:
        facts = {"error": getattr(error, "strerror", "") or str(error)}
        raise Refused(Problem("file.unreadable", facts, path.name)) from None


def open_plain_file(path: Path, limit: Limit | None = FILE_BYTES) -> BinaryIO:
    """Return a plain file of a stated size, opened; without a limit its reader counts.

    Raises ``Refused`` for a link, a pipe, a device, a folder, too many bytes, and for a
    name that is no text; ``OSError`` for what is not there or must not be read.
    """
    name = shown_name(path)
    if path.is_symlink():
        raise Refused(Problem("file.link", file=name))
    try:
        number = os.open(path, _FLAGS)
    except OSError as error:
        raise _said(path, error) from None
    try:
        _check(os.fstat(number), name, limit)
    except Refused:
        os.close(number)
        raise
    return os.fdopen(number, "rb")


def read_plain_file(path: Path, limit: Limit = FILE_BYTES) -> bytes:
    """Return the bytes of a plain file; raises as ``open_plain_file`` does."""
    pieces, size = [], 0
    with open_plain_file(path, limit) as file:
        while piece := file.read(_PIECE):
            size += len(piece)
            if size > limit.most:  # it grew, or its size is not told
                raise beyond(limit, size, path.name)
            pieces.append(piece)
    return b"".join(pieces)


def shown_name(path: Path) -> str:
    """Return a file's name; raises ``Refused`` for one that is no text."""
    try:
        path.name.encode()
    except UnicodeEncodeError:
        name = os.fsencode(path.name).decode("utf-8", "backslashreplace")
        raise Refused(Problem("file.name", file=name)) from None
    return path.name


def _said(path: Path, error: OSError) -> Exception:
    if error.errno in _LINK_ERRORS:
        return Refused(Problem("file.link", file=path.name))
    if error.errno == errno.ENXIO:
        return Refused(Problem("file.not_plain", {"kind": "a socket"}, path.name))
    if path.is_dir():  # Windows opens no folder
        return Refused(Problem("file.not_plain", {"kind": "a folder"}, path.name))
    return error


def _check(found: os.stat_result, name: str, limit: Limit | None) -> None:
    if not stat.S_ISREG(found.st_mode):
        kinds = (kind for holds, kind in _KINDS if holds(found.st_mode))
        kind = next(kinds, Told("absent.file"))
        raise Refused(Problem("file.not_plain", {"kind": kind}, name))
    if limit is not None and found.st_size > limit.most:
        raise beyond(limit, found.st_size, name)


@dataclass(slots=True)
class Delivery:
    """What one delivery has brought so far, against what it may bring in all."""

    size: int = 0
    rows: int = 0

    def add(self, name: str, *, size: int = 0, rows: int = 0) -> None:
        """Count a file; raises ``Refused`` at the one that is too much."""
        self.size += size
        self.rows += rows
        if self.size > DELIVERY_BYTES.most:
            raise beyond(DELIVERY_BYTES, self.size, name)
        if self.rows > DELIVERY_ROWS.most:
            raise beyond(DELIVERY_ROWS, self.rows, name)
