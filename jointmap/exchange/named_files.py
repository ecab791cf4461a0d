"""Opening the files that a delivery names, and no others.

Only plain files: no link is followed, no pipe or device is waited for, no name leads
out of the delivery's folder.
"""

import contextlib
import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from jointmap.errors import Problem, Refused

_MOST_FOLDERS = 50
_PLAIN = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
_NO_LINK = getattr(os, "O_NOFOLLOW", 0)


@contextmanager
def open_plain(path: Path, *, follow: bool = True) -> Iterator[BinaryIO]:
    """Open a plain file; raises ``Refused`` for what is none or is not there."""
    try:
        number = os.open(path, _PLAIN | (0 if follow else _NO_LINK))
    except FileNotFoundError:
        raise Refused(Problem("file.not_found", file=str(path))) from None
    except (OSError, ValueError) as error:
        facts = {"error": getattr(error, "strerror", "") or str(error)}
        raise Refused(Problem("file.not_plain", facts, file=path.name)) from None
    if not stat.S_ISREG(os.fstat(number).st_mode):
        os.close(number)
        facts = {"error": "a folder, a pipe or a device"}
        raise Refused(Problem("file.not_plain", facts, file=path.name))
    with os.fdopen(number, "rb") as file:
        yield file


def inside(folder: Path, name: str) -> Path:
    """Return the path of a file that a delivery names by its place in the folder.

    Raises ``Refused`` for a name that leads elsewhere, and for links on the way.
    """
    parts = name.split("/")
    odd = any(p in ("", ".", "..") or not p.isprintable() for p in parts)
    if odd or "\\" in name or Path(name).is_absolute() or ":" in parts[0]:
        raise Refused(Problem("file.outside", column="file", value=name))
    path = folder
    for part in parts:
        path /= part
        if path.is_symlink():
            raise Refused(Problem("file.link", column="file", value=name))
    return path


def beside(folder: Path, name: str) -> list[Path]:
    """Return where a plain file name stands in a folder and the folders right in it.

    Nothing but the names of folders is read.
    """
    if not name or name in (".", "..") or not name.isprintable() or {*"/\\"} & {*name}:
        return []
    with contextlib.suppress(OSError):
        below = sorted(
            e.path for e in os.scandir(folder) if e.is_dir(follow_symlinks=False)
        )
        places = [folder, *map(Path, below[:_MOST_FOLDERS])]
        found = [p / name for p in places]
        return [p for p in found if p.is_file() and not p.is_symlink()]
    return []
