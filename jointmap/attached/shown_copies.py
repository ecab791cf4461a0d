"""The copies of attached files that pages show: kept sealed, believed by their seal.

Whoever can write into the site folder could else put a picture of his own before a
reader. The seal is a code made with the site's key (HMAC, RFC 2104, with SHA-256) over
the attached file's hash and all that is kept, so no copy fits another file.
"""

import base64
import contextlib
import hashlib
import hmac
import json
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from jointmap.errors import Problem, Refused
from jointmap.incoming import read_plain_file
from jointmap.incoming.size_limits import MIB, Limit
from jointmap.pictures import MADE, Rebuilt
from jointmap.storage.attachment_files import shown_path_of, write_shown
from jointmap.wording import say

# What is written to the folder of shown copies; older forms are made again.
_FORM = 2
# The first form, which had no seal.
_UNSEALED = b'{"form": 1,'
# A child's answer of 64 MiB, in letters.
_MOST = Limit("limit.file_bytes", 96 * MIB, "bytes of a shown copy")
# Notes that are names of what was left out, and not sentences of their own.
_NOTES = ("first_only",)


@dataclass(frozen=True, slots=True)
class Shown:
    """What pages show of a kept file: a copy made anew, or why there is none."""

    copy: Rebuilt | None = None
    why: str = ""

    @property
    def notes(self) -> tuple[str, ...]:
        """What a reader should know of the copy, in sentences."""
        notes = () if self.copy is None else self.copy.notes
        left_out = ", ".join(n for n in notes if n not in _NOTES)
        told = [say(f"picture.{n}") for n in notes if n in _NOTES]
        if left_out:
            told.append(say("picture.left_out", {"names": left_out}))
        return tuple(told)


def write_copy(site: Path, key: bytes, sha256: str, shown: Shown) -> None:
    """Keep what pages show of the file of this hash, sealed with the site's key."""
    held = _written(shown)
    write_shown(site, sha256, f"{_seal(key, sha256, held.encode())}\n{held}")


def read_copy(site: Path, key: bytes, sha256: str) -> Shown | None:
    """Return a kept copy; nothing where it is gone, spoilt, another's or older.

    Raises ``ValueError`` for what is no SHA-256.
    """
    path = shown_path_of(site, sha256)
    try:
        held = _unsealed(key, sha256, read_plain_file(path, _MOST))
        return None if held is None else _shown_in(json.loads(held))
    except (OSError, Refused, ValueError, KeyError, TypeError, RecursionError):
        return None


def copy_problems(
    site: Path, key: bytes, attached: Collection[str]
) -> Iterator[Problem]:
    """Yield the copies that this site did not make, of the files that are attached.

    One of the first form is told apart: it is sound to have, and never shown.
    """
    for sha256 in sorted(attached):
        with contextlib.suppress(FileNotFoundError, ValueError):
            path = shown_path_of(site, sha256)
            name = _fault_of(path, key, sha256)
            if name:
                yield Problem(f"verify.{name}", {"place": str(path)})


def _fault_of(path: Path, key: bytes, sha256: str) -> str:
    try:
        data = read_plain_file(path, _MOST)
    except FileNotFoundError:
        raise
    except (OSError, Refused):
        return "copy_foreign"
    if data.startswith(_UNSEALED):
        return "copy_older"
    return "copy_foreign" if _unsealed(key, sha256, data) is None else ""


def _seal(key: bytes, sha256: str, held: bytes) -> str:
    # A salt is made with the same key, of a text that has no line end in it.
    sealed = f"shown copy {_FORM}\n{sha256}\n".encode() + held
    return hmac.new(key, sealed, hashlib.sha256).hexdigest()


def _unsealed(key: bytes, sha256: str, data: bytes) -> bytes | None:
    seal, _, held = data.partition(b"\n")
    fits = hmac.compare_digest(seal, _seal(key, sha256, held).encode())
    return held if fits else None


def _written(shown: Shown) -> str:
    copy = shown.copy
    held: dict[str, object] = {"why": shown.why}
    if copy is not None:
        held |= {
            "media_type": copy.media_type,
            "page": base64.b64encode(copy.page).decode(),
            "small": base64.b64encode(copy.small).decode(),
            "notes": copy.notes,
        }
    return json.dumps(held)


def _shown_in(held: Mapping[str, object]) -> Shown:
    if "media_type" not in held:
        return Shown(why=str(held["why"]))
    if held["media_type"] not in MADE:
        raise ValueError(held["media_type"])
    page, small = (
        base64.b64decode(str(held[name]), validate=True) for name in ("page", "small")
    )
    notes = tuple(map(str, held["notes"]))  # type: ignore[call-overload]
    return Shown(Rebuilt(str(held["media_type"]), page, small, notes))
