"""What the map is made from: plain columns and names, nothing to be reckoned."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from jointmap.register.columns import Codes, Days, Flags, Floats


@dataclass(frozen=True, slots=True)
class MapJoints:
    """One row per joint; every column is as long as ``tag``.

    Codes are places in ``register.codes``; an index is a place in the list of names in
    ``MapData``, -1 for none. A joint without a position has NaN and is only listed.
    ``dossier`` is a path below ``dossiers/``, empty for none; ``alias`` holds a joint's
    other names, parted by ``; ``. The last two columns may be left out.
    """

    tag: Sequence[str]
    latitude_deg: Floats
    longitude_deg: Floats
    accuracy_metre: Floats
    verdict: Codes
    due_state: Codes
    boundary: Codes
    area: Codes
    kind: Codes
    due_on: Days
    last_on: Days
    is_suspect: Flags
    position_in_doubt: Flags
    alias: Sequence[str]
    dossier: Sequence[str]
    where: Sequence[str] = ()  # such as "KP 18.02"
    because: Sequence[str] = ()  # why the due date is what it is

    def __post_init__(self) -> None:
        """Refuse columns of unequal length."""
        count = len(self.tag)
        for field in fields(self):
            found = len(getattr(self, field.name))
            left_out = found == 0 and field.name in {"where", "because"}
            if found != count and not left_out:
                raise ValueError(f"{field.name}: {found} values for {count} joints")

    def __len__(self) -> int:
        return len(self.tag)


@dataclass(frozen=True, slots=True)
class Tick:
    """A kilometre post on a line; the bearing is the line's, clockwise from north."""

    kilometre: float
    longitude_deg: float
    latitude_deg: float
    bearing_deg: float


@dataclass(frozen=True, slots=True)
class MapLine:
    """A pipeline's centreline, (points, 2), and its kilometre posts."""

    name: str
    lon_lat_deg: Floats
    ticks: tuple[Tick, ...] = ()


@dataclass(frozen=True, slots=True)
class MapPoint:
    """A current source or a structure shown by one point."""

    name: str
    kind: str
    longitude_deg: float
    latitude_deg: float


@dataclass(frozen=True, slots=True)
class MapData:
    """All that stands on one map page."""

    site: str
    on: dt.date
    known: str
    fingerprint: str
    version: str
    joints: MapJoints
    boundary_names: tuple[str, ...] = ()
    area_names: tuple[str, ...] = ()
    kind_names: tuple[str, ...] = ()
    lines: tuple[MapLine, ...] = ()
    points: tuple[MapPoint, ...] = ()


def bounds_of(data: MapData) -> list[list[float]]:
    """Return [[south, west], [north, east]] in degrees.

    A position in doubt may lie on another ocean, so it counts only if there is no
    other; with nothing to show the whole world is returned.
    """
    joints = data.joints
    both = np.column_stack([joints.latitude_deg, joints.longitude_deg])
    placed = np.isfinite(both).all(axis=1)
    along = [line.lon_lat_deg[:, ::-1] for line in data.lines]
    trusted = np.concatenate([both[placed & ~joints.position_in_doubt], *along])
    found = trusted if len(trusted) else both[placed]
    if not len(found):
        return [[-60.0, -180.0], [60.0, 180.0]]
    return [found.min(axis=0).tolist(), found.max(axis=0).tolist()]
