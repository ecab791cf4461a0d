"""Where the files lie that a delivery names: in its folder, and no others."""

import contextlib
import os
from pathlib import Path

from jointmap.errors import Problem, Refused

_MOST_FOLDERS = 50


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
