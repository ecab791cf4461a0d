"""The type of a file by taking it apart; its name and its sender's word say nothing."""

import codecs
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from jointmap.errors import Problem, Refused
from jointmap.pictures.drawings import SVG, root_fault
from jointmap.pictures.pdf import paper_notes
from jointmap.pictures.raster import RASTER_FORMATS, header_fault

ACCEPTED = ("PDF", "PNG", "JPEG", "TIFF", "WebP", "SVG", "UTF-8 text")
# Of these types a page shows a copy made anew; the others are kept for download only.
SHOWN = (*RASTER_FORMATS, SVG)
_PIECE = 2**20
_HEAD = 64
# Marks of encodings in which an XML file may begin, beside UTF-8.
_XML_STARTS = (b"<", b"\xff\xfe<\x00", b"\xfe\xff\x00<", b"<\x00", b"\x00<")
# Text may hold tabs, ends of lines and of pages: no other control characters.
_CONTROLS = bytes({*range(32), 127} - {9, 10, 12, 13})


@dataclass(frozen=True, slots=True)
class Kind:
    """What a file is; ``notes`` name what is told of it beside its type."""

    media_type: str
    notes: tuple[str, ...] = ()


def kind_of(path: Path) -> Kind:
    """Return what a file is; raises ``Refused`` for what is not accepted."""
    with path.open("rb") as file:
        head = file.read(_HEAD)
    for sign, look in _LOOKS.items():
        if head.startswith(sign):
            return look(path)
    if head[:4] == b"RIFF" and head[8:12] == b"WEBP":
        return _raster("image/webp")(path)
    if head.removeprefix(codecs.BOM_UTF8).lstrip(b" \t\r\n").startswith(_XML_STARTS):
        return _drawing(path)
    return _text(path)


def _refused(fault: Problem | None = None) -> Refused:
    facts = {"accepted": ", ".join(ACCEPTED)}
    return Refused([p for p in (fault, Problem("attach.type", facts)) if p])


def _raster(media_type: str) -> Callable[[Path], Kind]:
    def look(path: Path) -> Kind:
        fault = header_fault(path, media_type)
        if fault:
            raise _refused(fault)
        return Kind(media_type)

    return look


def _drawing(path: Path) -> Kind:
    fault = root_fault(path)
    if fault:
        raise _refused(fault)
    return Kind(SVG)


def _paper(path: Path) -> Kind:
    notes = paper_notes(path)
    if notes is None:
        raise _refused(Problem("picture.no_pdf"))
    return Kind("application/pdf", notes)


def _text(path: Path) -> Kind:
    """Take UTF-8 without control characters, read piece by piece."""
    decoder = codecs.getincrementaldecoder("utf-8")()
    some = False
    try:
        with path.open("rb") as file:
            while piece := file.read(_PIECE):
                if len(piece.translate(None, _CONTROLS)) != len(piece):
                    raise _refused()
                some = bool(decoder.decode(piece).strip("\ufeff \t\r\n\f")) or some
        decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        some = False
    if not some:
        raise _refused()
    return Kind("text/plain")


_LOOKS: Mapping[bytes, Callable[[Path], Kind]] = {
    b"%PDF-": _paper,
    b"\x89PNG\r\n\x1a\n": _raster("image/png"),
    b"\xff\xd8\xff": _raster("image/jpeg"),
    b"II*\x00": _raster("image/tiff"),
    b"MM\x00*": _raster("image/tiff"),
}
