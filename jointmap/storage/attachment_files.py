"""Attached files: beside the database, each once, named by what is in it.

A file's own name never becomes a path: the SHA-256 of its bytes does.
"""

import hashlib
import os
import re
import stat
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from jointmap.errors import Problem, Refused
from jointmap.files.names import ATTACHMENTS
from jointmap.storage.noting import put_noted

MOST_BYTES = 64 * 2**20
_PIECE = 2**20

# What a file begins with says what it is; its name does not.
_SIGNS: tuple[tuple[bytes, str], ...] = (
    (b"%PDF-", "application/pdf"),
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"II*\x00", "image/tiff"),
    (b"MM\x00*", "image/tiff"),
)
ACCEPTED = ("PDF", "PNG", "JPEG", "TIFF", "WebP", "SVG without scripts", "UTF-8 text")
# What makes a drawing more than a drawing.
_RUNS = re.compile(r"<script|<foreignobject|<!entity|javascript:|\son[a-z]+\s*=", re.I)


@dataclass(frozen=True, slots=True)
class StoredFile:
    """A file that lies in the store."""

    sha256: str
    media_type: str
    size_bytes: int


def path_of(folder: Path, sha256: str) -> Path:
    """Return where the file of this hash lies in a site folder.

    Raises ``ValueError`` for what is no SHA-256, so that no stored text becomes a path.
    """
    if not re.fullmatch("[0-9a-f]{64}", sha256):
        raise ValueError(sha256)
    return folder / ATTACHMENTS / sha256[:2] / sha256


def media_type_of(data: bytes) -> str:
    """Return a file's type by its content, or nothing for one that is not accepted."""
    for sign, media_type in _SIGNS:
        if data.startswith(sign):
            return media_type
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "image/webp"
    return _type_of_text(data)


def _type_of_text(data: bytes) -> str:
    try:
        text = data.decode("utf-8").lstrip("\ufeff \t\r\n")
    except UnicodeDecodeError:
        return ""
    if not text or "\x00" in text:
        return ""
    if not text.startswith("<"):
        return "text/plain"
    # Of all that a browser would run, only a drawing is taken, and only a still one.
    is_drawing = re.match(r"(<\?xml[^>]*>\s*)?(<!--.*?-->\s*)*<svg[\s>]", text, re.S)
    return "image/svg+xml" if is_drawing and not _RUNS.search(text) else ""


def store(folder: Path, source: Path) -> StoredFile:
    """Copy a file into the store unless it lies there; raises ``Refused``.

    To be called while ``keeping``.
    """
    seen, data = _read(source)
    _put(path_of(folder, seen.sha256), data)
    return seen


def look_at(source: Path) -> StoredFile:
    """Return what a file would be in the store; raises ``Refused``."""
    return _read(source)[0]


def _read(source: Path) -> tuple[StoredFile, bytes]:
    size = source.stat().st_size
    if size > MOST_BYTES:
        facts = {"size": size // 2**20, "most": MOST_BYTES // 2**20}
        raise Refused(Problem("attach.too_big", facts, file=source.name))
    data = source.read_bytes()
    media_type = media_type_of(data)
    if not media_type:
        names = {"accepted": ", ".join(ACCEPTED)}
        raise Refused(Problem("attach.type", names, file=source.name))
    digest = hashlib.sha256(data).hexdigest()
    return StoredFile(digest, media_type, len(data)), data


def _put(path: Path, data: bytes) -> None:
    if path.exists() and fault_of(path, path.name, len(data)) == "":
        return
    put_noted(path, data)


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

    ``file_left`` is a sound file that a load stored and did not come to record,
    ``file_foreign`` anything else. Links are not followed.
    """
    for path in _below(folder / ATTACHMENTS):
        is_place = path.parent.parent == folder / ATTACHMENTS
        if is_place and path.name in attached and path.parent.name == path.name[:2]:
            continue
        is_own = is_place and re.fullmatch("[0-9a-f]{64}", path.name)
        sound = is_own and not fault_of(path, path.name, path.lstat().st_size)
        yield ("file_left" if sound else "file_foreign"), path


def _below(folder: Path) -> Iterator[Path]:
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
        depth_one = folder.name == ATTACHMENTS and re.fullmatch(
            "[0-9a-f]{2}", entry.name
        )
        if entry.is_dir(follow_symlinks=False) and depth_one:
            yield from _below(path)
        else:
            yield path
