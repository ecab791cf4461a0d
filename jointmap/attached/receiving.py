"""A sender's file on its way in: copied, taken apart in a child process, then kept."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import BinaryIO, TypeVar

from jointmap.attached.apart import Bounds, answers
from jointmap.attached.shown_copies import Shown, read_copy, write_copy
from jointmap.errors import Problem, Refused
from jointmap.incoming.size_limits import MIB
from jointmap.pictures import (
    SHOWN,
    CameraPlace,
    Kind,
    camera_place,
    kind_of,
)
from jointmap.pictures import rebuilt as rebuild
from jointmap.register import Attachment
from jointmap.storage.attachment_files import (
    Taken,
    fault_of,
    keep,
    path_of,
    take,
)
from jointmap.wording import say

T = TypeVar("T")
# Of the processor, and on the clock: a busy machine gives a child a part of its time.
_BOUNDS = Bounds(seconds=10, wall_seconds=60, memory=700 * MIB, answer=64 * MIB)


@dataclass(frozen=True, slots=True)
class Received:
    """A file that is accepted, and what was found in it."""

    taken: Taken
    kind: Kind
    shown: Shown
    place: CameraPlace | None

    def keep(self, site: Path, key: bytes) -> None:
        """Put the file into the site's store, and its copy for pages beside it.

        ``key`` is the site's, with which the copy is sealed.
        """
        keep(site, self.taken)
        write_copy(site, key, self.taken.sha256, self.shown)


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


def shown_of(site: Path, key: bytes, record: Attachment) -> Shown:
    """Return what pages show of a kept file, made again where its copy does not fit.

    ``key`` is the site's, with which its copies are sealed.
    """
    if record.media_type not in SHOWN:
        return Shown(why=say("picture.kind"))
    sha256 = record.sha256
    try:
        path, found = path_of(site, sha256), read_copy(site, key, sha256)
    except ValueError:
        return Shown(why=say("picture.gone"))
    if found is None:
        if fault_of(path, sha256, record.size_bytes):
            return Shown(why=say("picture.gone"))
        found = _shown(path, record.media_type)
        write_copy(site, key, sha256, found)
    return found
