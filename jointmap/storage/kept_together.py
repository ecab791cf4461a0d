"""Files and the records that speak of them: both are kept, or neither.

A file goes into the store before the transaction that speaks of it ends. Until then a
note of it lies beside the store; whoever keeps files next, or ends a transaction that
was refused, takes away what was noted and no record speaks of.
"""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from jointmap.errors import JointmapError, Problem, Refused
from jointmap.files import locks
from jointmap.files.names import ASIDE, ATTACHMENTS, NEW, beside
from jointmap.storage.register_file import Register
from jointmap.storage.verifying.verify import attached_hashes


@contextmanager
def keeping(register: Register, folder: Path) -> Iterator[None]:
    """Give the right to keep files in a site folder, around a transaction."""
    drafts = beside(folder / ATTACHMENTS)
    lock = locks.take(drafts)
    if lock is None:
        raise Refused(Problem("output.busy", {"place": str(folder / ATTACHMENTS)}))
    try:
        _settle(register, folder)
        try:
            yield
        except BaseException:
            # What cannot be settled now is noted, and settled by the next.
            with suppress(JointmapError, OSError):
                _settle(register, folder)
            raise
        _settle(register, folder)
    finally:
        locks.give_back(lock, drafts)


def _settle(register: Register, folder: Path) -> None:
    drafts = beside(folder / ATTACHMENTS)
    notes = sorted((drafts / ASIDE).glob("*"))
    if notes:
        with register.looking() as connection:
            spoken = {sha for sha, _ in attached_hashes(connection, register.site_id)}
        for note in notes:
            if note.name not in spoken:
                _take_away(folder / ATTACHMENTS / note.name[:2] / note.name)
            note.unlink()
    for name in (NEW, ASIDE):
        shutil.rmtree(drafts / name, ignore_errors=True)


def _take_away(path: Path) -> None:
    path.unlink(missing_ok=True)
    with suppress(OSError):  # other files lie there
        path.parent.rmdir()
        path.parents[1].rmdir()
