"""What a PDF could do when it is opened: told, never tried.

No page opens a PDF. The look is at names, also inside packed object streams, as far as
they unpack within a bound; an encrypted PDF keeps its names to itself.
"""

import mmap
import re
import zlib
from collections.abc import Iterator
from pathlib import Path

_END_WITHIN = 2048
_MOST_UNPACKED = 32 * 2**20
_NAMES = {
    "runs_script": (b"/JavaScript", b"/JS"),
    "acts_when_opened": (b"/OpenAction", b"/AA"),
    "starts_programs": (b"/Launch",),
    "holds_files": (b"/EmbeddedFile", b"/EmbeddedFiles"),
    "is_encrypted": (b"/Encrypt",),
}
# A name ends where another token begins; #4a is one way to write a letter.
_NAME = re.compile(rb"/[A-Za-z0-9#]{2,64}")
_CODE = re.compile(rb"#([0-9A-Fa-f]{2})")
_STREAM = re.compile(rb"/ObjStm[^\x80-\xff]{0,512}?stream\r?\n")


def paper_notes(path: Path) -> tuple[str, ...] | None:
    """Return what a PDF could do, or nothing for what is no PDF to its end."""
    with (
        path.open("rb") as file,
        mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as data,
    ):
        if data.rfind(b"%%EOF", max(0, len(data) - _END_WITHIN)) < 0:
            return None
        seen = {name for part in _outside(data) for name in _names(part)}
        for unpacked in _packed(data):
            seen |= set(_names(unpacked))
    return tuple(note for note, names in _NAMES.items() if seen & set(names))


def _outside(data: mmap.mmap) -> Iterator[bytes]:
    """Yield what stands outside of streams, whose bytes may spell anything."""
    at = 0
    while (begin := data.find(b"stream", at)) >= 0:
        yield data[at:begin]
        end = data.find(b"endstream", begin)
        if end < 0:
            break
        at = end + len(b"endstream")
    yield data[at:]


def _names(data: bytes) -> Iterator[bytes]:
    for found in _NAME.finditer(data):
        name = found[0]
        if b"#" in name:
            name = _CODE.sub(lambda code: bytes([int(code[1], 16)]), name)
        yield name


def _packed(data: mmap.mmap) -> Iterator[bytes]:
    """Yield the unpacked text of object streams, all together at most the bound."""
    left = _MOST_UNPACKED
    for found in _STREAM.finditer(data):
        if left <= 0:
            return
        end = data.find(b"endstream", found.end())
        try:
            text = zlib.decompressobj().decompress(data[found.end() : end], left)
        except zlib.error:
            continue
        left -= len(text)
        yield text
