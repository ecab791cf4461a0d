"""What goes to the terminal: lines of text, none of which can act on it."""

import os
import re
import shutil
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from io import TextIOBase
from pathlib import Path
from typing import TextIO

from jointmap.plain_text import visible_lines

WIDTH = 80  # where nobody says how wide it is: a file, a pipe
LEAST_WIDTH = 40
_COLOUR = re.compile("(\x1b\\[[0-9;]*m)")


class ReaderGone(Exception):  # noqa: N818 - it reads as a sentence
    """Whoever read the output has gone away: nobody is left to be told."""

    def __str__(self) -> str:
        return "the reader of the output has gone away"


class VisibleStream(TextIOBase):
    """A text stream that writes codes for control characters and unseen marks.

    It has no ``buffer``, so that nobody writes past it.
    """

    def __init__(self, stream: TextIO) -> None:
        super().__init__()
        self._stream = stream

    def write(self, text: str | bytes) -> int:
        """Write ``text`` with codes; return how much of it was taken.

        What a shell completes click writes as bytes.
        """
        self._put(visible_lines(text if isinstance(text, str) else text.decode()))
        return len(text)

    def write_coloured(self, text: str) -> None:
        """Write text in which only codes of colours act.

        They are the program's own: whatever came from others was made visible before it
        was laid out, and holds none.
        """
        parts = _COLOUR.split(text)
        parts[::2] = map(visible_lines, parts[::2])
        self._put("".join(parts))

    def _put(self, shown: str) -> None:
        with self._told_of_the_output():
            try:
                self._stream.write(shown)
            except UnicodeEncodeError:
                # An old terminal knows few letters: the others as their numbers.
                known = self._stream.encoding
                coded = shown.encode(known, "backslashreplace").decode(known)
                self._stream.write(coded)

    def flush(self) -> None:
        """Send what waits."""
        with self._told_of_the_output():
            self._stream.flush()

    @contextmanager
    def _told_of_the_output(self) -> Iterator[None]:
        try:
            yield
        except BrokenPipeError:
            drop_what_waits(self._stream)
            raise ReaderGone from None
        except OSError as error:
            error.filename = "the output"
            raise

    @property
    def stream_below(self) -> TextIO:
        """What it writes to, for drawings of the program's own that hold no text."""
        return self._stream

    def isatty(self) -> bool:
        """Return whether a person looks at it."""
        return self._stream.isatty()

    def fileno(self) -> int:
        """Return the number of the file behind it."""
        return self._stream.fileno()

    def writable(self) -> bool:
        """Return that it can be written to."""
        return True


def drop_what_waits(stream: TextIO) -> None:
    """Let go nowhere what could not be written: it would be tried again at the end."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)


@contextmanager
def visible_output() -> Iterator[None]:
    """Let all that is printed meanwhile go through ``VisibleStream``.

    Where a stream was closed from the start, nothing is seen of it.
    """
    out, err = sys.stdout, sys.stderr
    with ExitStack() as stack:
        # A file opened later would else get the number of the closed one.
        open_ones = (
            stack.enter_context(Path(os.devnull).open("w")) if s is None else s
            for s in (out, err)
        )
        sys.stdout, sys.stderr = map(VisibleStream, open_ones)
        try:
            yield
        finally:
            sys.stdout, sys.stderr = out, err


def width_of_output() -> int:
    """Return how many columns may be printed: of COLUMNS, of the terminal, else 80."""
    fallback = (WIDTH, 24)
    if not sys.stdout.isatty() and not os.environ.get("COLUMNS"):
        return WIDTH
    return max(LEAST_WIDTH, shutil.get_terminal_size(fallback).columns)
