"""The command line as a user runs it: in this process, or in one of its own.

``jointmap`` is for most tests: what is printed, the exit code, the environment and the
working folder are those of a process, without the second that one takes to start.
``as_process`` is for what only a process shows: limits, closed output, the end itself.
``tests/end_to_end/test_both_runners.py`` shows that both give the same.
"""

import atexit
import gc
import io
import os
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryFile
from threading import Thread
from typing import BinaryIO, NamedTuple
from unittest.mock import patch

import click

from jointmap.cli import main

ROOT = Path(__file__).resolve().parents[1]
AS_MODULE = "python -m jointmap.cli"  # how the program is named in its own usage lines
NOT_TOLD = 120  # how Python ends where its last output cannot be written


def _every_command() -> Iterator[tuple[str, click.Command]]:
    for name, command in main.commands.items():
        inner = command.commands if isinstance(command, click.Group) else {}
        yield from ((f"{name} {below}", one) for below, one in inner.items())
        if not inner:
            yield name, command


# Every command by the words that call it, such as "change rename".
COMMANDS: dict[str, click.Command] = dict(_every_command())


def with_site(words: Sequence[str], site: object) -> tuple[object, ...]:
    """Return a command's words with the site in its place, behind the command."""
    lead = 2 if " ".join(words[:2]) in COMMANDS else 1
    return (*words[:lead], site, *words[lead:])


class Ran(NamedTuple):
    """What a command ended with and what it printed."""

    code: int
    out: str
    err: str

    @property
    def said(self) -> str:
        return self.out + self.err


def jointmap(*words: object, **more: str) -> Ran:
    """Run ``jointmap WORDS`` in this process; ``more`` is its environment.

    A fault that is no exit is raised here, and so is a warning.
    """
    with TemporaryFile() as out, TemporaryFile() as err:
        code = ended(*words, out=out.fileno(), err=err.fileno(), **more)
        return Ran(code, _text_of(out), _text_of(err))


def as_process(*words: object, **more: str) -> Ran:
    """Run ``jointmap WORDS`` in a process of its own, with this checkout's code."""
    done = subprocess.run(
        [sys.executable, "-m", "jointmap.cli", *map(str, words)],
        capture_output=True,
        encoding="utf-8",
        env={**os.environ, **_own(more)},
        check=False,
    )
    assert "Traceback" not in done.stderr, done.stderr
    return Ran(done.returncode, done.stdout, done.stderr)


def ended(*words: object, out: int, err: int, **more: str) -> int:
    """Run a command here whose output goes to open files; return its exit code.

    It writes to the files numbered 1 and 2, as a process does, so that a broken pipe, a
    full device and what a library in C prints are met in the same way.
    """
    with ExitStack() as stack:
        stack.enter_context(patch.dict(os.environ, _own(more)))
        stack.enter_context(_settings_of_python_kept())
        stack.enter_context(_leading(1, out))
        stack.enter_context(_leading(2, err))
        streams = stack.enter_context(_streams(bool(more.get("PYTHONUNBUFFERED"))))
        code = _exit_code([str(word) for word in words])
        return code if all(map(_flushed, streams)) else NOT_TOLD


def on_terminal(*words: object, columns: int = 80, **more: str) -> Ran:
    """Run ``jointmap WORDS`` here on a terminal; ``out`` is all that it is sent."""
    # Not on every system.
    import pty
    import termios

    lead, far = pty.openpty()
    # As many rows as any output has.
    termios.tcsetwinsize(far, (500, columns))
    sent: list[bytes] = []
    reader = Thread(target=lambda: sent.extend(_pieces(lead)))
    reader.start()
    try:
        code = ended(
            *words, out=far, err=far, **{"COLUMNS": "", "TERM": "xterm", **more}
        )
    finally:
        os.close(far)
        reader.join()
        os.close(lead)
    return Ran(code, b"".join(sent).decode("utf-8").replace("\r\n", "\n"), "")


def _pieces(lead: int) -> Iterator[bytes]:
    # Whoever reads is told by a fault that the other end is closed.
    with suppress(OSError):
        while piece := os.read(lead, 65_536):
            yield piece


def _own(more: Mapping[str, str]) -> dict[str, str]:
    # So wide that a row of a table stays on its line; help keeps to 100 columns.
    return {"PYTHONPATH": str(ROOT), "COLUMNS": "2000", **more}


def _exit_code(words: list[str]) -> int:
    try:
        main.main(words, prog_name=AS_MODULE)
    except SystemExit as stop:
        return int(stop.code or 0)
    return 0


@contextmanager
def _settings_of_python_kept() -> Iterator[None]:
    """Undo what the program sets for the process that it takes to be its own."""
    thresholds = gc.get_threshold()
    try:
        yield
    finally:
        gc.set_threshold(*thresholds)
        atexit.unregister(gc.freeze)


@contextmanager
def _leading(number: int, to: int) -> Iterator[None]:
    """Let the open file of a number be another one meanwhile."""
    kept = os.dup(number)
    os.dup2(to, number)
    try:
        yield
    finally:
        os.dup2(kept, number)
        os.close(kept)


@contextmanager
def _streams(unbuffered: bool) -> Iterator[tuple[io.TextIOWrapper, ...]]:
    """Give Python's own streams anew, made as it makes them at its start."""
    out = _stream(1, "strict", unbuffered)
    err = _stream(2, "backslashreplace", unbuffered)
    with Path(os.devnull).open(encoding="utf-8") as nothing, ExitStack() as stack:
        for name, stream in (("stdin", nothing), ("stdout", out), ("stderr", err)):
            stack.enter_context(patch.object(sys, name, stream))
        yield out, err
        for stream in (out, err):
            # What it could not write it would try again, and say so of itself.
            with suppress(OSError):
                stream.close()


def _stream(number: int, errors: str, unbuffered: bool) -> io.TextIOWrapper:
    raw = io.FileIO(number, "w", closefd=False)
    buffer = raw if unbuffered else io.BufferedWriter(raw)
    return io.TextIOWrapper(
        buffer,
        encoding="utf-8",
        errors=errors,
        line_buffering=number == 2,
        write_through=unbuffered,
    )


def _flushed(stream: io.TextIOWrapper) -> bool:
    """Whether what waited could be written, which Python tries at its end."""
    try:
        stream.flush()
    except OSError:
        return False
    return True


def _text_of(file: BinaryIO) -> str:
    file.seek(0)
    return file.read().decode("utf-8")
