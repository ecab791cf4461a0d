"""Turns: one writer of a place at a time, and nothing left by one that was stopped.

The lock is one of the system, held on an open file: it ends with the process that
holds it, however that ends.
"""

import os
import stat
import time
from contextlib import suppress
from pathlib import Path
from types import ModuleType

from jointmap.errors import Problem, WrongUse
from jointmap.files.names import LOCK

fcntl: ModuleType | None
try:
    import fcntl
except ModuleNotFoundError:  # pragma: no cover - Windows
    fcntl = None

_PAUSE_SECOND = 0.05
MOST_TRIES = 6_000  # five minutes, as long as a writer of a register waits
PRIVATE = 0o700


def take(folder: Path, tries: int = MOST_TRIES) -> int | None:
    """Take the turn of a folder of drafts, making it; nothing if others keep it.

    Returns the open lock, for ``give_back``.
    """
    for number in range(tries):
        if number:
            time.sleep(_PAUSE_SECOND)
        lock = _opened(folder)
        if lock is None:
            continue
        if _locked(lock) and _is_still(lock, folder / LOCK):
            return lock
        os.close(lock)
    return None


def _opened(folder: Path) -> int | None:
    # Not ``exist_ok``: it looks again, and by then the one before may have gone.
    with suppress(FileExistsError):
        folder.mkdir(mode=PRIVATE)
    try:
        _check_own(folder)
        flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0)
        return os.open(folder / LOCK, flags, 0o600)
    except FileNotFoundError:  # taken away by the one before
        return None


def _check_own(folder: Path) -> None:
    """Refuse a folder that somebody else laid here in advance."""
    found = folder.lstat()
    owner = os.geteuid() if hasattr(os, "geteuid") else found.st_uid
    if not stat.S_ISDIR(found.st_mode) or found.st_uid != owner:
        raise WrongUse(Problem("output.others_draft", {"place": str(folder)}))


def _locked(lock: int) -> bool:
    try:
        if fcntl is not None:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        else:  # pragma: no cover - Windows
            import msvcrt

            msvcrt.locking(lock, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
    except (BlockingIOError, PermissionError):
        return False
    return True


def _is_still(lock: int, path: Path) -> bool:
    """Whether the file that is locked is still the one that others would open."""
    try:
        there = path.lstat()
    except FileNotFoundError:
        return False
    return os.path.samestat(os.fstat(lock), there)


def give_back(lock: int, folder: Path) -> None:
    """End a turn; the folder goes away unless it holds something, or another waits."""
    path = folder / LOCK
    if fcntl is None:  # pragma: no cover - Windows
        os.close(lock)
    try:
        if len(list(folder.iterdir())) == 1:
            path.unlink()
            folder.rmdir()
    except OSError:  # another has come in between: it is that one's now
        pass
    finally:
        if fcntl is not None:
            os.close(lock)
