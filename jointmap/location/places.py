"""What is asked about places, and what may be doubted about them, as columns."""

from dataclasses import dataclass

from jointmap.register.columns import Codes, Floats, Ids, Table

OUT_OF_RANGE = "place.out_of_range"
OUTSIDE_SITE = "place.outside_site"
AXES_SWAPPED = "place.axes_swapped"
SIGN_LOST = "place.sign_lost"
OTHER_ZONE = "place.other_zone"
OTHER_MEASURING = "place.other_measuring"
MOVED_TOGETHER = "place.moved_together"
FAR_FROM_LINE = "place.far_from_line"
FAR_FROM_POST = "place.far_from_post"
FAR_FROM_OTHERS = "place.far_from_others"

# Columns hold a doubt's kind as its place in this list.
DOUBT_KINDS: tuple[str, ...] = (
    OUT_OF_RANGE,
    OUTSIDE_SITE,
    AXES_SWAPPED,
    SIGN_LOST,
    OTHER_ZONE,
    OTHER_MEASURING,
    MOVED_TOGETHER,
    FAR_FROM_LINE,
    FAR_FROM_POST,
    FAR_FROM_OTHERS,
)


@dataclass(frozen=True, slots=True)
class PlaceColumns(Table):
    """One row per position as it was sent in.

    A row whose latitude or longitude is NaN has no position and is never doubted.
    """

    subject_id: Ids
    latitude_deg: Floats
    longitude_deg: Floats
    captured_x: Floats  # easting or longitude, as captured; NaN: not kept as a number
    captured_y: Floats  # northing or latitude
    captured_epsg: Ids  # reference system of the captured numbers; 0: not known
    measuring: Ids  # place in the list of measurings; -1: on no line
    post_kilometre: Floats  # stated post in that measuring
    batch: Ids  # which file the row came in; -1: none


@dataclass(frozen=True, slots=True)
class Places(Table):
    """Where other things of the site are, in degrees."""

    latitude_deg: Floats
    longitude_deg: Floats


@dataclass(frozen=True, slots=True)
class Extent:
    """The rectangle in which a site's places lie, in degrees."""

    min_latitude_deg: float
    max_latitude_deg: float
    min_longitude_deg: float
    max_longitude_deg: float


@dataclass(frozen=True, slots=True)
class DoubtLimits:
    """From where on a distance is doubted; all are our choices, not a standard's."""

    far_from_line_metre: float = 100.0
    far_from_post_metre: float = 200.0
    # A proposal must come at least this near to its line to explain anything.
    near_line_metre: float = 500.0
    # Rows of one file moved by one vector: how long, how alike, how many.
    moved_metre: float = 50.0
    alike_metre: float = 10.0
    moved_rows: int = 3
    # Of places on no line: so many times as far from the middle of all as half of
    # them are, of how many at least, and how far at least.
    others_times: float = 20.0
    others_least: int = 8
    others_metre: float = 20_000.0


@dataclass(frozen=True, slots=True)
class Doubts(Table):
    """One row per doubt; a place may have several, or none.

    The proposed place is NaN where none can be proposed. ``distance_metre`` is that
    from the line (far from line), from the stated post (far from post), from the middle
    of all places (far from others), else from the proposed place. East and north tell
    how far the place as sent lies from the expected one. ``detail`` is the zone's EPSG
    number (other zone), the place in the list of measurings (other measuring) or the
    number of rows (moved together).
    """

    row: Ids
    kind: Codes
    proposed_latitude_deg: Floats
    proposed_longitude_deg: Floats
    distance_metre: Floats
    east_metre: Floats
    north_metre: Floats
    detail: Ids
