"""What is measured of the lines that tests reach, and what that costs.

Deliveries are read in forked processes. Coverage's own patch for those starts anew in
each of them and saves there all that the parent has seen as well: 0.4 s of CPU for each
load, more than the load itself. Here the parent saves what it has seen before it forks,
and the child saves only what it saw.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from typing import NoReturn
from unittest.mock import patch

import coverage


def save_from_forks() -> None:
    """Let forked processes of this one save what they reach, if this one does.

    A worker of pytest is measured twice, as one and as a process that another started;
    only the first goes on.
    """
    every = _stopped()
    if not every or not hasattr(os, "fork"):
        _begin(every)
        return
    measured = every[0]
    measured.start()
    leave = os._exit

    def save_before() -> None:
        if coverage.Coverage.current() is measured:
            measured.get_data()

    def save_and_leave(status: int) -> NoReturn:
        # Out of memory or of room as it may be: a process that ends does end.
        with suppress(Exception):
            if coverage.Coverage.current() is measured:
                measured.save()
        leave(status)

    os.register_at_fork(before=save_before)
    os._exit = save_and_leave


@contextmanager
def unmeasured() -> Iterator[None]:
    """Measure nothing meanwhile, here, in forks and in processes started."""
    every = _stopped()
    try:
        with patch.dict(os.environ):
            os.environ.pop("COVERAGE_PROCESS_CONFIG", None)
            yield
    finally:
        _begin(every)


def _stopped() -> list[coverage.Coverage]:
    """Stop all that measures this process; the last one that began is the first."""
    found = []
    while (one := coverage.Coverage.current()) is not None:
        one.stop()
        found.append(one)
    return found


def _begin(every: list[coverage.Coverage]) -> None:
    for one in reversed(every):
        one.start()
