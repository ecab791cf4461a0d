"""Attached files: beside the database, each once, named by what is in it.

A file's own name never becomes a path: the SHA-256 of its bytes does. What a sender's
file is, is found out elsewhere, before it is kept.
"""

import contextlib
import hashlib
import os
import re
import stat
import sys
import tempfile
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from jointmap.errors import Problem, Refused
from jointmap.files.names import ATTACHMENTS
from jointmap.files.single import make_private_folder
from jointmap.storage.noting import put_noted

if sys.platform != "win32":
    import fcntl

MOST_BYTES = 64 * 2**20
# Copies made anew for pages. All of it may be deleted: pages make it again.
SHOWN_FOLDER = "shown"
# Files on their way in. What a kill leaves here goes when the next file comes.
COMING_FOLDER = "coming"
FOLDERS = (ATTACHMENTS, SHOWN_FOLDER, COMING_FOLDER)
_PIECE = 2**20


@dataclass(frozen=True, slots=True)
class Taken:
    """A sender's file, copied into the site folder and not kept yet."""

    half: Path
    sha256: str
    size_bytes: int


def path_of(folder: Path, sha256: str) -> Path:
    """Return where the file of this hash lies in a site folder.

    Raises ``ValueError`` for what is no SHA-256, so that no stored text becomes a path.
    """
    return folder / ATTACHMENTS / _name(sha256)


def shown_path_of(folder: Path, sha256: str) -> Path:
    """Return where the copies made anew of a file lie; ``ValueError`` as above."""
    return folder / SHOWN_FOLDER / _name(sha256).with_suffix(".json")


def _name(sha256: str) -> Path:
    if not re.fullmatch("[0-9a-f]{64}", sha256):
        raise ValueError(sha256)
    return Path(sha256[:2], sha256)


@contextmanager
def take(folder: Path, source: BinaryIO, name: str) -> Iterator[Taken]:
    """Copy an open file into the site folder, hashed; gone again unless it is kept.

    Raises ``Refused`` for one that is too large.
    """
    coming = folder / COMING_FOLDER
    make_private_folder(coming)
    _clear(coming)
    with _half(coming) as (file, half):
        yield _copied(source, file, half, name)


@contextmanager
def _half(coming: Path) -> Iterator[tuple[BinaryIO, Path]]:
    """Give a new file, locked for as long as it is open; gone again unless moved."""
    while True:
        number, name = tempfile.mkstemp(dir=coming)
        with os.fdopen(number, "wb") as file:
            if sys.platform != "win32":
                fcntl.flock(number, fcntl.LOCK_EX)
            if os.fstat(number).st_nlink == 0:
                continue  # taken for litter before it was locked
            try:
                yield file, Path(name)
            finally:
                Path(name).unlink(missing_ok=True)
            return


def _clear(coming: Path) -> None:
    """Remove what a process that was killed left on its way in."""
    if sys.platform == "win32":
        return
    for path in coming.iterdir():
        if not _is_plain(path):
            continue  # a pipe would be waited for; `verify` names it
        with contextlib.suppress(OSError), path.open("rb") as file:
            fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
            path.unlink()


def _copied(source: BinaryIO, file: BinaryIO, half: Path, name: str) -> Taken:
    digest, size = hashlib.sha256(), 0
    while piece := source.read(_PIECE):
        size += len(piece)
        if size > MOST_BYTES:
            raise Refused(
                Problem("attach.too_big", {"most": MOST_BYTES // 2**20}, name)
            )
        digest.update(piece)
        file.write(piece)
    file.flush()
    os.fsync(file.fileno())
    return Taken(half, digest.hexdigest(), size)


def keep(folder: Path, taken: Taken) -> None:
    """Put a taken file into the store under its hash, unless it lies there sound.

    To be called while ``keeping``.
    """
    path = path_of(folder, taken.sha256)
    if path.exists() and fault_of(path, taken.sha256, taken.size_bytes) == "":
        return
    put_noted(path, taken.half)


def write_shown(folder: Path, sha256: str, text: str) -> None:
    """Keep the copies made anew of a file; a folder that takes none goes without."""
    path = shown_path_of(folder, sha256)
    # What stands in the way is for `verify` to name.
    others = FileExistsError, NotADirectoryError, IsADirectoryError
    with contextlib.suppress(PermissionError, *others):
        for part in (path.parents[1], path.parent, folder / COMING_FOLDER):
            make_private_folder(part)
        with _half(folder / COMING_FOLDER) as (file, half):
            file.write(text.encode())
            file.flush()
            half.replace(path)


def hash_of(file: BinaryIO) -> tuple[str, int]:
    """Return SHA-256 and size of an open file, read piece by piece."""
    digest, size = hashlib.sha256(), 0
    while piece := file.read(_PIECE):
        digest.update(piece)
        size += len(piece)
    return digest.hexdigest(), size


def fault_of(path: Path, sha256: str, size: int) -> str:
    """Return what is wrong with a stored file: gone, changed, no file, or nothing."""
    try:
        # A pipe would be waited for, a link could lead anywhere.
        if not stat.S_ISREG(path.lstat().st_mode):
            return "file_odd"
        with path.open("rb") as file:
            found = hash_of(file)
    except FileNotFoundError:
        return "file_gone"
    except OSError:
        return "file_unread"
    return "" if found == (sha256, size) else "file_changed"


def others_in(folder: Path, attached: Collection[str]) -> Iterator[tuple[str, Path]]:
    """Yield what lies in the store and belongs to no record, with what it is.

    ``file_left`` is a sound file that a load stored and did not come to record, or a
    copy made of one, or on its way in, ``file_foreign`` anything else. No link is
    followed.
    """
    yield from _others_stored(folder / ATTACHMENTS, attached)
    yield from _others_shown(folder / SHOWN_FOLDER, attached)
    for path in _below(folder / COMING_FOLDER):
        yield ("file_left" if _is_plain(path) else "file_foreign"), path


def _others_stored(
    folder: Path, attached: Collection[str]
) -> Iterator[tuple[str, Path]]:
    for path in _below(folder):
        if not _is_of(path, folder, attached):
            is_own = _is_named(path, folder)
            sound = is_own and not fault_of(path, path.name, path.lstat().st_size)
            yield ("file_left" if sound else "file_foreign"), path


def _others_shown(
    folder: Path, attached: Collection[str]
) -> Iterator[tuple[str, Path]]:
    for path in _below(folder):
        original = path.with_suffix("")
        plain = path.suffix == ".json" and not path.is_symlink()
        if not (plain and _is_of(original, folder, attached)):
            left = plain and _is_named(original, folder)
            yield ("file_left" if left else "file_foreign"), path


def _is_plain(path: Path) -> bool:
    try:
        return stat.S_ISREG(path.lstat().st_mode)
    except FileNotFoundError:
        return True  # it came to its place meanwhile


def _is_of(path: Path, folder: Path, attached: Collection[str]) -> bool:
    is_place = path.parent.parent == folder and path.parent.name == path.name[:2]
    return is_place and path.name in attached


def _is_named(path: Path, folder: Path) -> bool:
    name = re.fullmatch("[0-9a-f]{64}", path.name)
    return path.parent.parent == folder and name is not None


def _below(folder: Path, *, is_top: bool = True) -> Iterator[Path]:
    """Yield all that is no folder of the store, in the order of names."""
    try:
        entries = sorted(os.scandir(folder), key=lambda e: e.name)
    except FileNotFoundError:
        return
    except OSError:
        yield folder
        return
    for entry in entries:
        path = folder / entry.name
        is_part = is_top and re.fullmatch("[0-9a-f]{2}", entry.name)
        if entry.is_dir(follow_symlinks=False) and is_part:
            yield from _below(path, is_top=False)
        else:
            yield path
