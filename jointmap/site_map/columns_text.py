"""The joints as one block of text inside the page: columns, packed, base64.

A column of whole numbers is written byte plane by byte plane (all low bytes first),
coordinates as differences from joint to joint: both pack far better than rows. The same
input gives the same bytes: zlib's format, which browsers call ``deflate``, has no time.
"""

import base64
import datetime as dt
import zlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from jointmap.plain_text import visible
from jointmap.register.columns import Codes, Days, Floats
from jointmap.site_map.data import MapJoints

# The least int32 stands for "no position" and "no day".
NOTHING = -(2**31)
DEGREE_STEPS = 1e7
SUSPECT, DOUBT = 1, 2


@dataclass(frozen=True, slots=True)
class Packed:
    """The block, and how to cut it: (name, form, bytes) in order."""

    text: str
    parts: tuple[tuple[str, str, int], ...]
    is_packed: bool


def _planes(numbers: npt.NDArray[np.int32]) -> bytes:
    little = numbers.astype("<i4")
    return little.view(np.uint8).reshape(-1, 4).T.tobytes()


def _degrees(values: Floats) -> bytes:
    """Return 1e-7 degree steps as differences; they wrap, and so does the page."""
    steps = np.full(len(values), NOTHING, dtype=np.int64)
    known = np.isfinite(values)
    steps[known] = np.rint(values[known] * DEGREE_STEPS).astype(np.int64)
    return _planes(np.diff(steps, prepend=np.int64(0)).astype(np.int32))


def _days(values: Days, on: dt.date) -> bytes:
    """Return days after ``on``."""
    first = np.datetime64(on, "D")
    days = values.astype("datetime64[D]")
    known = ~np.isnat(days)
    found = np.full(len(days), NOTHING, dtype=np.int32)
    found[known] = (days[known] - first).astype(np.int32)
    return _planes(found)


def _codes(values: Codes) -> bytes:
    return np.asarray(values).astype(np.uint8).tobytes()


def _index(values: Codes) -> bytes:
    return _planes(np.asarray(values).astype(np.int32))


def _floats(values: Floats) -> bytes:
    return _planes(values.astype("<f4").view("<i4"))


def _text(values: Sequence[str]) -> bytes:
    # A line break in a name would shift all names after it: it is a code too.
    return "\n".join(visible(v) for v in values).encode()


def _dossiers(joints: MapJoints) -> list[str]:
    """Shorten the usual file name, the tag's own, to one sign."""
    pairs = zip(joints.tag, joints.dossier, strict=True)
    return ["=" if file == f"{tag}.html" else file for tag, file in pairs]


def _columns(joints: MapJoints, on: dt.date) -> list[tuple[str, str, bytes]]:
    flags = joints.is_suspect * SUSPECT + joints.position_in_doubt * DOUBT
    return [
        ("latitude", "steps", _degrees(joints.latitude_deg)),
        ("longitude", "steps", _degrees(joints.longitude_deg)),
        ("accuracy", "floats", _floats(joints.accuracy_metre)),
        ("verdict", "codes", _codes(joints.verdict)),
        ("dueState", "codes", _codes(joints.due_state)),
        ("flags", "codes", flags.astype(np.uint8).tobytes()),
        ("boundary", "numbers", _index(joints.boundary)),
        ("area", "numbers", _index(joints.area)),
        ("kind", "numbers", _index(joints.kind)),
        ("due", "numbers", _days(joints.due_on, on)),
        ("last", "numbers", _days(joints.last_on, on)),
        ("tag", "lines", _text(joints.tag)),
        ("alias", "lines", _text(joints.alias)),
        ("dossier", "lines", _text(_dossiers(joints))),
        ("where", "lines", _text(joints.where)),
        ("because", "lines", _text(joints.because)),
    ]


def pack(joints: MapJoints, on: dt.date, *, plain: bool = False) -> Packed:
    """Return the joints as text; ``plain`` leaves out the packing for old browsers."""
    columns = _columns(joints, on)
    block = b"".join(part for _, _, part in columns)
    sent = block if plain else zlib.compress(block, 9)
    return Packed(
        text=base64.b64encode(sent).decode("ascii"),
        parts=tuple((name, form, len(part)) for name, form, part in columns),
        is_packed=not plain,
    )
