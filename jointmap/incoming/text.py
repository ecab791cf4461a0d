"""Bytes to text: UTF-8, no other kind of file, no line without an end."""

from jointmap.errors import Problem, Refused
from jointmap.incoming.size_limits import LINE_BYTES, LINES, beyond

# Bytes that open files which are no text: zip (xlsx, docx), pdf, png, jpeg, sqlite.
_BINARY_STARTS = (
    b"PK\x03\x04",
    b"%PDF",
    b"\x89PNG",
    b"\xff\xd8\xff",
    b"SQLite format 3",
)
_OTHER_UTF = (b"\xff\xfe", b"\xfe\xff")


def text_of(name: str, data: bytes) -> str:
    """Return what a file says; raises ``Refused`` for one that is no UTF-8 text."""
    if not data.strip():
        raise Refused(Problem("file.empty", file=name))
    if data.startswith(_OTHER_UTF):
        raise _no_text(name, data, 0)
    if data.startswith(_BINARY_STARTS) or b"\x00" in data:
        raise Refused(Problem("file.binary", file=name))
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _no_text(name, data, error.start) from None


def _no_text(name: str, data: bytes, at: int) -> Refused:
    line = data.count(b"\n", 0, at) + 1
    shown = data[at : at + 4].hex(" ")
    facts = {"bytes": shown}
    return Refused(Problem("file.encoding", facts, name, line, value=shown))


def check_lines(name: str, data: bytes) -> None:
    """Refuse too many lines, and a line too long, before any is taken apart."""
    ends = max(data.count(b"\n"), data.count(b"\r"))
    if ends > LINES.most:
        raise beyond(LINES, ends, name)
    if len(data) <= LINE_BYTES.most:
        return
    for number, line in enumerate(data.splitlines(), start=1):
        if len(line) > LINE_BYTES.most:
            raise beyond(LINE_BYTES, len(line), name, number)
