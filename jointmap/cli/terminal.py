"""What goes to the terminal: lines of text, none of which can act on it."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from io import TextIOBase
from typing import TextIO

from jointmap.plain_text import visible_lines


class VisibleStream(TextIOBase):
    """A text stream that writes codes for control characters and unseen marks.

    It has no ``buffer``, so that nobody writes past it.
    """

    def __init__(self, stream: TextIO) -> None:
        super().__init__()
        self._stream = stream

    def write(self, text: str) -> int:
        """Write ``text`` with codes; return how much of it was taken."""
        shown = visible_lines(text)
        try:
            self._stream.write(shown)
        except UnicodeEncodeError:
            # An old terminal knows few letters: the others as their numbers.
            known = self._stream.encoding
            self._stream.write(shown.encode(known, "backslashreplace").decode(known))
        return len(text)

    def flush(self) -> None:
        """Send what waits."""
        self._stream.flush()

    def isatty(self) -> bool:
        """Return whether a person looks at it."""
        return self._stream.isatty()

    def fileno(self) -> int:
        """Return the number of the file behind it."""
        return self._stream.fileno()

    def writable(self) -> bool:
        """Return that it can be written to."""
        return True


@contextmanager
def visible_output() -> Iterator[None]:
    """Let all that is printed meanwhile go through ``VisibleStream``."""
    out, err = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = VisibleStream(out), VisibleStream(err)
    try:
        yield
    finally:
        sys.stdout, sys.stderr = out, err
