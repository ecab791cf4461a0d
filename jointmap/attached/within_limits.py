"""A piece of work within a limit of processor time and memory.

Processor time, not the clock on the wall: what is refused must not depend on what else
the machine does.
"""

import os
import resource
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

# A call of a library that does not come back for so long ends the program: nothing
# was kept, and a transaction that was cut off leaves the register as it was.
GRACE_SECONDS = 60


# An exception that comes while garbage is collected is lost: it is raised again.
AGAIN_SECONDS = 1.0


class TimeIsUp(Exception):  # noqa: N818 - it reads as a sentence
    """The work took more processor time than it may."""


def used_seconds() -> float:
    """Return the processor time that this process has used."""
    return sum(resource.getrusage(resource.RUSAGE_SELF)[:2])


@contextmanager
def within(seconds: float) -> Iterator[None]:
    """Raise ``TimeIsUp`` in work that takes longer, ``MemoryError`` beyond memory.

    Outside the main thread a signal cannot reach the work; there only memory and the
    limit of the operating system hold.
    """
    if threading.current_thread() is not threading.main_thread():
        with _system_limits(seconds):
            yield
        return
    before = signal.signal(signal.SIGPROF, _stop)
    try:
        with _system_limits(seconds):
            signal.setitimer(signal.ITIMER_PROF, seconds, AGAIN_SECONDS)
            yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        signal.signal(signal.SIGPROF, before)


def _stop(_number: int, _frame: FrameType | None) -> None:
    raise TimeIsUp


@contextmanager
def _system_limits(seconds: float) -> Iterator[None]:
    limits = {
        resource.RLIMIT_CPU: int(used_seconds() + seconds + GRACE_SECONDS) + 1,
        resource.RLIMIT_AS: os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE"),
    }
    before = {which: resource.getrlimit(which) for which in limits}
    try:
        for which, most in limits.items():
            _lower(which, most, before[which])
        yield
    finally:
        for which, pair in before.items():
            resource.setrlimit(which, pair)


def _lower(which: int, most: int, before: tuple[int, int]) -> None:
    soft, hard = before
    if soft == resource.RLIM_INFINITY or most < soft:
        resource.setrlimit(which, (most, hard))
