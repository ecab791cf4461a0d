"""Work on what others sent, in a process of its own with limits of time and memory.

A fault, a crash or a hang of a library there is a sentence with the file's name here.
Where a process cannot be forked (Windows) the same work is done in this one, and only
what Python raises is caught.
"""

import faulthandler
import io
import os
import pickle
import select
import signal
import sys
import time
import traceback
import warnings
from collections.abc import Callable, Iterator, Sequence
from dataclasses import is_dataclass
from enum import Enum
from typing import Any, NamedTuple, NoReturn, TypeAlias, TypeVar

from jointmap.errors import JointmapError, Problem, Refused
from jointmap.how_far import HowFar, to_nobody
from jointmap.incoming.size_limits import (
    ANSWER_BYTES,
    MEMORY,
    SECONDS,
    WALL_SECONDS,
    beyond,
)

T = TypeVar("T")
Step: TypeAlias = tuple[str, Callable[[], T]]

TRACE_VARIABLE = "JOINTMAP_TRACE"
_HEAD = 8  # bytes that tell the length of an answer
_PIECE = 2**20
_PATIENCE = 5.0  # seconds for a process that has said all to be gone


class Bounds(NamedTuple):
    """What the work may take: seconds of work, seconds on the clock, bytes."""

    seconds: float = SECONDS.most
    wall_seconds: float = WALL_SECONDS.most
    memory: int = MEMORY.most
    answer: int = ANSWER_BYTES.most


STATED = Bounds()


def answers(
    steps: Sequence[Step[T]], bounds: Bounds = STATED, tell: HowFar = to_nobody
) -> list[T | Refused]:
    """Return what each step gave, in order: its value, or its refusal.

    A step is the name of a file and what to do with it; all are done in one process of
    their own. Raises ``Refused`` with the name of the file at which the process ended
    before its time.
    """
    if not hasattr(os, "fork"):
        return [_pickled_back(_answer(step, bounds)) for step in steps]
    return _Child(steps, bounds, tell).answers()


def _answer(step: Step[Any], bounds: Bounds) -> bytes:
    name, work = step
    try:
        return pickle.dumps(work(), pickle.HIGHEST_PROTOCOL)
    except JointmapError as error:
        return pickle.dumps(_Wrong(error.problems), pickle.HIGHEST_PROTOCOL)
    except MemoryError:
        problem = Problem(MEMORY.id, {"most": f"{bounds.memory:,}"}, name)
    except Exception as error:
        if os.environ.get(TRACE_VARIABLE):
            traceback.print_exc()
        fault = f"{type(error).__name__}: {error}"
        problem = Problem("reading.fault", {"fault": fault}, name)
    return pickle.dumps(_Wrong((problem,)), pickle.HIGHEST_PROTOCOL)


class _Wrong(NamedTuple):
    problems: tuple[Problem, ...]


class _Known(pickle.Unpickler):
    """Builds values and records of this program only.

    A pickle can name any function, and what a sender wrote may have taken over the
    process that answers.
    """

    def find_class(self, module: str, name: str) -> Any:  # noqa: ANN401
        if module == "datetime":
            return super().find_class(module, name)
        found = super().find_class(module, name) if module in sys.modules else None
        if module.startswith("jointmap.") and _is_plain(found):
            return found
        raise pickle.UnpicklingError(f"{module}.{name}")


def _is_plain(found: object) -> bool:
    if not isinstance(found, type):
        return False
    return is_dataclass(found) or issubclass(found, Enum | tuple)


def _pickled_back(data: bytes) -> Any:  # noqa: ANN401
    found = _Known(io.BytesIO(data)).load()
    return Refused(found.problems) if isinstance(found, _Wrong) else found


class _Child:
    """One process that does the steps and tells each answer when it has it."""

    def __init__(
        self, steps: Sequence[Step[Any]], bounds: Bounds, tell: HowFar = to_nobody
    ) -> None:
        self.steps, self.bounds, self.tell = steps, bounds, tell
        self.done: list[Any] = []
        self.ends_at = time.monotonic() + bounds.wall_seconds

    def answers(self) -> list[Any]:
        out, into = os.pipe()
        process = _fork()
        if process == 0:
            os.close(out)
            _work(self.steps, self.bounds, into)
        os.close(into)
        patience = 0.0
        try:
            if self._read(out):
                patience = _PATIENCE
        finally:
            os.close(out)
            status = _ended(process, patience)
        if len(self.done) < len(self.steps):
            raise self._stopped(status)
        return self.done

    def _read(self, out: int) -> bool:
        """Take answers in; return whether the process came to its end by itself."""
        got = bytearray()
        left = self.bounds.answer
        for piece in self._pieces(out):
            left -= len(piece)
            if left < 0:
                raise beyond(ANSWER_BYTES, self.bounds.answer, self._name())
            got += piece
            self._take(got)
        return time.monotonic() < self.ends_at

    def _pieces(self, out: int) -> Iterator[bytes]:
        while (wait := self.ends_at - time.monotonic()) > 0:
            ready, _, _ = select.select([out], [], [], wait)
            piece = os.read(out, _PIECE) if ready else b""
            if not piece:
                return
            yield piece

    def _take(self, got: bytearray) -> None:
        while len(got) >= _HEAD:
            end = _HEAD + int.from_bytes(got[:_HEAD], "big")
            if len(got) < end:
                return
            try:
                self.done.append(_pickled_back(bytes(got[_HEAD:end])))
            except Exception as error:
                facts = {"fault": str(error)}
                raise Refused(Problem("reading.fault", facts, self._name())) from error
            del got[:end]
            self.tell("files", len(self.done), len(self.steps))

    def _name(self) -> str:
        return self.steps[min(len(self.done), len(self.steps) - 1)][0]

    def _stopped(self, status: int) -> Refused:
        by = os.WTERMSIG(status) if os.WIFSIGNALED(status) else 0
        late = time.monotonic() >= self.ends_at
        if late or by == getattr(signal, "SIGXCPU", -1):
            most = self.bounds.wall_seconds if late else self.bounds.seconds
            return Refused(Problem(SECONDS.id, {"most": f"{most:g}"}, self._name()))
        named = (
            signal.Signals(by).name
            if by
            else f"exit {os.waitstatus_to_exitcode(status)}"
        )
        return Refused(Problem("reading.crash", {"signal": named}, self._name()))


def _fork() -> int:
    with warnings.catch_warnings():
        # From 3.12 on Python warns where a library has threads. The child touches none
        # of them: it reads text, and one that should wait for ever is stopped in time.
        warnings.simplefilter("ignore", DeprecationWarning)
        sys.stdout.flush()
        sys.stderr.flush()
        return os.fork()


def _ended(process: int, patience: float) -> int:
    """Return how a process ended; one that still runs after a while is stopped."""
    until = time.monotonic() + patience
    while True:
        found, status = os.waitpid(process, os.WNOHANG)
        if found:
            return status
        if time.monotonic() >= until:
            os.kill(process, signal.SIGKILL)
            return os.waitpid(process, 0)[1]
        time.sleep(0.001)


def _work(steps: Sequence[Step[Any]], bounds: Bounds, into: int) -> NoReturn:
    """Do the steps and end, whatever happens: nothing of the parent may go on here."""
    try:
        _be_quiet()
        _limit(bounds)
        for step in steps:
            answer = _answer(step, bounds)
            _write(into, len(answer).to_bytes(_HEAD, "big") + answer)
    finally:
        os._exit(0)


def _be_quiet() -> None:
    """Let nothing of a library in C reach the terminal, unless somebody asked."""
    faulthandler.disable()
    if not os.environ.get(TRACE_VARIABLE):
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)


def _write(into: int, data: bytes) -> None:
    view = memoryview(data)
    while view:
        view = view[os.write(into, view) :]


def _limit(bounds: Bounds) -> None:
    import resource

    signal.signal(signal.SIGINT, signal.SIG_DFL)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    seconds = max(1, int(bounds.seconds))
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
    most = _held_already() + bounds.memory
    _, hard = resource.getrlimit(resource.RLIMIT_DATA)
    if hard in (-1, resource.RLIM_INFINITY) or most < hard:
        resource.setrlimit(resource.RLIMIT_DATA, (most, hard))


def _held_already() -> int:
    """Return the bytes of data that came from the parent."""
    import resource

    try:
        with open("/proc/self/statm", encoding="ascii") as file:  # noqa: PTH123
            return int(file.read().split()[5]) * resource.getpagesize()
    except OSError:
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
