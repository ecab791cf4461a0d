"""A sender's file on its way in: copied, taken apart in a child process, then kept."""

import base64
import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import BinaryIO, TypeVar

from jointmap.errors import Problem, Refused
from jointmap.incoming.limits import MIB
from jointmap.pictures import (
    MADE,
    SHOWN,
    CameraPlace,
    Kind,
    Rebuilt,
    camera_place,
    kind_of,
)
from jointmap.pictures import rebuilt as rebuild
from jointmap.storage.attachment_files import (
    Taken,
    fault_of,
    keep,
    path_of,
    shown_path_of,
    take,
    write_shown,
)
from jointmap.wording import say
from jointmap.workflows.apart import Bounds, answers

T = TypeVar("T")
# Of the processor, and on the clock: a busy machine gives a child a part of its time.
_BOUNDS = Bounds(seconds=10, wall_seconds=60, memory=700 * MIB, answer=64 * MIB)
# What is written to the folder of shown copies; older forms are made again.
_FORM = 1
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


@dataclass(frozen=True, slots=True)
class Received:
    """A file that is accepted, and what was found in it."""

    taken: Taken
    kind: Kind
    shown: Shown
    place: CameraPlace | None

    def keep(self, site: Path) -> None:
        """Put the file into the site's store, and its copy for pages beside it."""
        keep(site, self.taken)
        write_shown(site, self.taken.sha256, _written(self.shown))


@contextmanager
def received(site: Path, source: BinaryIO, name: str) -> Iterator[Received]:
    """Take an open file in; it is gone again unless it is kept inside the block.

    Raises ``Refused`` for what is not accepted. Nothing is locked meanwhile.
    """
    with take(site, source, name) as taken:
        try:
            kind = _in_child(kind_of, taken.half)
        except Refused as refused:
            raise Refused([replace(p, file=name) for p in refused.problems]) from None
        shown = _shown(taken.half, kind.media_type)
        yield Received(taken, kind, shown, _place(taken.half, kind.media_type))


def _in_child(function: Callable[..., T], path: Path, *args: object) -> T:
    (found,) = answers([(path.name, partial(function, path, *args))], _BOUNDS)
    if isinstance(found, Refused):
        raise found
    return found


def _shown(path: Path, media_type: str) -> Shown:
    if media_type not in SHOWN:
        return Shown(why=say("picture.kind"))
    try:
        return Shown(_in_child(rebuild, path, media_type))
    except Refused as refused:
        return Shown(why="; ".join(map(_why, refused.problems)))


def _why(problem: Problem) -> str:
    # The file is kept all the same, so the words for a sheet that is not are wrong.
    family, _, cause = problem.id.partition(".")
    if family == "reading":
        return say("picture.stopped", {"cause": problem.values.get("fault", cause)})
    return say(problem.id, problem.values)


def _place(path: Path, media_type: str) -> CameraPlace | None:
    if media_type not in SHOWN:
        return None
    try:
        return _in_child(camera_place, path, media_type)
    except Refused:
        return None


def shown_of(site: Path, sha256: str, size_bytes: int, media_type: str) -> Shown:
    """Return what pages show of a kept file, made again where its copy is gone."""
    if media_type not in SHOWN:
        return Shown(why=say("picture.kind"))
    try:
        path, copy = path_of(site, sha256), shown_path_of(site, sha256)
    except ValueError:
        return Shown(why=say("picture.gone"))
    found = _read(copy)
    if found is None:
        if fault_of(path, sha256, size_bytes):
            return Shown(why=say("picture.gone"))
        found = _shown(path, media_type)
        write_shown(site, sha256, _written(found))
    return found


def _written(shown: Shown) -> str:
    copy = shown.copy
    held: dict[str, object] = {"form": _FORM, "why": shown.why}
    if copy is not None:
        held |= {
            "media_type": copy.media_type,
            "page": base64.b64encode(copy.page).decode(),
            "small": base64.b64encode(copy.small).decode(),
            "notes": copy.notes,
        }
    return json.dumps(held)


def _read(path: Path) -> Shown | None:
    """Return a kept copy; nothing where it is gone, spoilt or of an older form."""
    try:
        held = json.loads(path.read_text(encoding="utf-8"))
        return _shown_in(held) if held["form"] == _FORM else None
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None


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
