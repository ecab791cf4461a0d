"""By what a file that this program wrote is known again.

The mark stands in the file itself, so that a file may be copied and renamed. Where a
format has no place for one (CSV) the heading is the mark.
"""

from pathlib import Path

NAME = "jointmap"
DESCRIPTION = f"{NAME} joints"
# Where a mark stands in an HTML page; pages and the map carry it in their head.
GENERATOR = f'<meta name="generator" content="{NAME}">'
# The heading of a table of joints begins so.
JOINTS_HEADING = "tag,aliases,boundary,area,state,post,verdict,"

_HEAD_BYTES = 4_096
_MOST_BYTES = 64 * 2**20
_SQLITE = b"SQLite format 3\0"
_ZIP = b"PK\x03\x04"
_ZIP_NAME_AT = 30  # the name of a ZIP file's first member
_GEOPACKAGE_AT = slice(68, 72)  # the number of an application, in a SQLite file's head
# Signs of the two journals that a stopped writer leaves beside a SQLite file.
_JOURNAL_SIGNS = (b"\xd9\xd5\x05\xf9\x20\xa1\x63\xd7", b"\x37\x7f\x06")


def is_ours(path: Path) -> bool:
    """Whether a file is a page, sheet or table that this program wrote, or is empty."""
    if not path.stat().st_size:
        return True
    data = _read(path, _HEAD_BYTES)
    if data.startswith(b"%PDF-"):
        return f"/Keywords({NAME})".encode() in _read(path, _MOST_BYTES)
    if data.startswith(_SQLITE):
        return is_geopackage(data) and DESCRIPTION.encode() in _read(path, _MOST_BYTES)
    signs = (
        GENERATOR,
        f'"description": "{DESCRIPTION}"',
        f'creator="{NAME}"',
    )
    is_table = data.startswith(JOINTS_HEADING.encode())
    return is_table or any(sign.encode() in data for sign in signs)


def is_record(path: Path) -> bool:
    """Whether a file holds what nobody can make again: a register, or a backup."""
    head = _read(path, _HEAD_BYTES)
    if head.startswith(_SQLITE):
        return not is_geopackage(head)
    is_backup = head.startswith(_ZIP) and head[_ZIP_NAME_AT:].startswith(b"backup.json")
    return is_backup or head.startswith(_JOURNAL_SIGNS)


def is_geopackage(head: bytes) -> bool:
    """Whether a SQLite file, of which this is the head, is a GeoPackage."""
    return head[_GEOPACKAGE_AT] == b"GPKG"


def _read(path: Path, most: int) -> bytes:
    with path.open("rb") as file:
        return file.read(most)
