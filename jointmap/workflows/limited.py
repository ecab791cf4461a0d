"""One function in a process of its own, with limits of time and memory.

A fault in a library, a hang or a flood of memory ends the child; here it is a sentence.
Where there is no ``fork`` the function runs here and now, without limits.
"""

import contextlib
import dataclasses
import enum
import faulthandler
import io
import os
import pickle
import select
import signal
import time
import warnings
from collections.abc import Callable
from typing import Any, NoReturn, TypeVar

from jointmap.errors import JointmapError, Problem, Refused

T = TypeVar("T")
_MIB = 2**20
_PIECE = 2**16
# A busy machine gives a child a part of its time only.
_WAIT_FACTOR = 6


def run_limited(
    function: Callable[..., T], *args: object, seconds: int, mebibytes: int
) -> T:
    """Return ``function(*args)`` from a child process; ``Refused`` beyond its limits.

    ``seconds`` are of the processor, ``mebibytes`` beyond what this process holds now.
    What comes back is data: plain values, and frozen records of this package.
    """
    if not hasattr(os, "fork"):
        return function(*args)
    reads, writes = os.pipe()
    with warnings.catch_warnings():
        # Threads of a numerical library may be there; the child never uses them.
        warnings.simplefilter("ignore", DeprecationWarning)
        child = os.fork()
    if child == 0:
        os.close(reads)
        _be_child(writes, function, args, (seconds, mebibytes))
    os.close(writes)
    try:
        sent = _read_all(reads, seconds * _WAIT_FACTOR, 2 * mebibytes * _MIB)
    finally:
        os.close(reads)
        with contextlib.suppress(ProcessLookupError):
            os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
    value: T = _value(sent, status, {"seconds": seconds, "mebibytes": mebibytes})
    return value


def _be_child(
    writes: int,
    function: Callable[..., object],
    args: tuple[object, ...],
    most: tuple[int, int],
) -> NoReturn:
    """Run, send what came of it, and end without a word to anything of the parent's."""
    try:
        faulthandler.disable()
        _limit(*most)
        warnings.simplefilter("ignore")
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)  # C libraries write there
        sent = _sent(function, args)
        view = memoryview(sent)
        while view:
            view = view[os.write(writes, view) :]
    finally:
        os._exit(0)


def _sent(function: Callable[..., object], args: tuple[object, ...]) -> bytes:
    try:
        return pickle.dumps(("value", function(*args)))
    except JointmapError as refused:
        return pickle.dumps(("refused", refused.problems))
    except MemoryError:
        return pickle.dumps(("memory", None))
    except Exception as error:
        return pickle.dumps(("fault", type(error).__name__))


def _limit(seconds: int, mebibytes: int) -> None:
    import resource  # only where there is fork

    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
    held = _held_now()
    if held:
        most = held + mebibytes * _MIB
        resource.setrlimit(resource.RLIMIT_AS, (most, most))


def _held_now() -> int:
    """Return the bytes of address space in use, or nothing where that is not told."""
    try:
        with open("/proc/self/statm", encoding="ascii") as told:  # noqa: PTH123
            return int(told.read().split()[0]) * os.sysconf("SC_PAGE_SIZE")
    except OSError:
        return 0


def _read_all(reads: int, seconds: int, most: int) -> bytes:
    """Return what the child sent until its end; nothing where the time was over."""
    until = time.monotonic() + seconds
    pieces, size = [], 0
    while size <= most:
        left = until - time.monotonic()
        if left <= 0 or not select.select([reads], [], [], left)[0]:
            return b""
        piece = os.read(reads, _PIECE)
        if not piece:
            break
        pieces.append(piece)
        size += len(piece)
    return b"".join(pieces)


def _value(sent: bytes, status: int, most: dict[str, int]) -> Any:  # noqa: ANN401
    try:
        what, value = _Plain(io.BytesIO(sent)).load()
    except (EOFError, pickle.UnpicklingError):
        timed_out = os.WTERMSIG(status) in (signal.SIGXCPU, signal.SIGKILL)
        what, value = "time" if timed_out else "fault", f"signal {status}"
    if what == "value":
        return value
    if what == "refused":
        raise Refused(value)
    raise Refused(Problem(f"limited.{what}", {**most, "error": value}))


class _Plain(pickle.Unpickler):
    """Takes values only: a child that a file took over can name no function here."""

    def find_class(self, module: str, name: str) -> Any:  # noqa: ANN401
        """Return a record, a word or a date; refuses everything else."""
        if module == "datetime" or module.partition(".")[0] == "jointmap":
            found = super().find_class(module, name)
            if isinstance(found, type) and _is_value(found):
                return found
        raise pickle.UnpicklingError(f"{module}.{name}")


def _is_value(found: type) -> bool:
    is_ours = dataclasses.is_dataclass(found) or issubclass(found, enum.Enum)
    return is_ours or found.__module__ == "datetime"
