"""What a crew's day sheet and the month's overview show."""

import datetime as dt
from dataclasses import dataclass

from markupsafe import Markup

from jointmap.reports.views import (
    NO_DRAWING,
    NO_LINK,
    Frame,
    Link,
)


@dataclass(frozen=True, slots=True)
class Blank:
    """A box to write in; ``name`` is an id of ``wording.labels.BLANKS``.

    ``once``: a condition of the test, not a reading to be taken again as left;
    ``at_end``: known only when the readings are done, and written below them.
    """

    name: str
    unit: str = ""
    once: bool = False
    at_end: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One place on the sheet. Last readings are left off: nothing to copy from.

    ``covers`` are the other joints that the same reading credits; ``look_alikes``
    the tags (with what tells them apart) the crew may take for this one. ``sources``
    are to be interrupted; ``no_source`` says why none is, for a test by shift.
    """

    order: int
    line_id: str
    tag: Link
    boundary: str
    structure_a: str
    structure_b: str
    method: str
    cannot_prove: str = ""
    which_one: str = ""
    look_alikes: tuple[str, ...] = ()
    covers: tuple[str, ...] = ()
    protected_sides: str = ""
    area: str = ""
    kilometre_post: str = ""
    coordinates: str = ""
    position_doubt: str = ""
    electrode_place: str = ""
    access: tuple[str, ...] = ()
    permit: str = ""
    cautions: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    no_source: str = ""
    put_off: str = ""
    last_allowed_on: dt.date | None = None
    because: str = ""
    arrive: str = ""
    leave: str = ""
    stud_count: int = 0
    blanks: tuple[Blank, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class InstrumentRow:
    """An instrument that goes out, and whether its certificate covers the day."""

    name: str
    kind: str = ""
    valid_until_on: dt.date | None = None
    flag: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteSheet:
    """One crew's day; times are local clock text such as "09:40"."""

    frame: Frame
    sheet_id: str
    crew: str
    day: dt.date
    stops: tuple[Stop, ...]
    people: tuple[str, ...] = ()
    depot: str = ""
    leave_depot: str = ""
    back_at_depot: str = ""
    distance: str = ""
    travel_note: str = ""
    ac_limit: str = ""
    put_off: tuple[str, ...] = ()  # each with its tag
    cautions: tuple[str, ...] = ()
    instruments: tuple[InstrumentRow, ...] = ()
    interruptions: tuple[str, ...] = ()
    access: tuple[str, ...] = ()
    route_map: Markup = NO_DRAWING
    with_codes: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class DayCell:
    """What one crew does on one day; no ``sheet``: ``note`` says why not."""

    sheet: Link = NO_LINK
    stops: int = 0
    hours: str = ""
    distance: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthDay:
    """One day of the month; ``cells`` in the order of the month's crews."""

    day: dt.date
    cells: tuple[DayCell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnservedRow:
    """A due line that no route took, and why."""

    subjects: tuple[Link, ...]
    reason: str
    last_allowed_on: dt.date | None = None
    advice: str


@dataclass(frozen=True, slots=True)
class SubjectRow:
    """What is told of things to be tested."""

    subjects: tuple[Link, ...]
    told: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InterruptionRow:
    """A current source to be interrupted, when, and for which joints."""

    source: str
    day: dt.date
    crew: str
    joints: tuple[Link, ...]
    cycle: str = ""
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessRow:
    """A key, permit, escort or window to ask for."""

    day: dt.date
    crew: str
    subject: Link
    need: str
    window: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthPage:
    """Crews by days, what is left over, and what others must be asked for.

    ``month`` is "2026-06"; ``travel_note`` says how travel was estimated.
    """

    frame: Frame
    month: str
    crews: tuple[str, ...]
    days: tuple[MonthDay, ...]
    summary: str = ""
    travel_note: str = ""
    unserved: tuple[UnservedRow, ...] = ()
    interruptions: tuple[InterruptionRow, ...] = ()
    not_by_shift: tuple[SubjectRow, ...] = ()
    put_off: tuple[SubjectRow, ...] = ()
    access: tuple[AccessRow, ...] = ()
