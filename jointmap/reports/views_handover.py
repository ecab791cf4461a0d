"""What the handover page shows: joints, what is open, who accepted what."""

import datetime as dt
from dataclasses import dataclass

from jointmap.reports.views import Frame, Link


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverRow:
    """One fitted device; counts are checks of its fitting record."""

    joint: Link
    contractor: str
    serial: str
    fitted_on: dt.date
    meets: int = 0
    fails: int = 0
    blank: int = 0
    table: int = 0
    punch_list: tuple[str, ...] = ()
    exceptions: tuple[str, ...] = ()

    @property
    def is_open(self) -> bool:
        """Whether something is left to do and nobody accepted it."""
        return bool(self.punch_list) and not self.exceptions


@dataclass(frozen=True, slots=True, kw_only=True)
class ContractorRow:
    """One contractor's records together."""

    name: str
    joints: int
    on_record: str
    fails: int
    open: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SubmissionRow:
    """One submission kept as sent."""

    sha256: str
    what: str
    on: dt.date
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverPage:
    """The page; ``rows`` by contractor and tag."""

    frame: Frame
    contractor: str
    summary: str
    contractors: tuple[ContractorRow, ...]
    rows: tuple[HandoverRow, ...]
    submissions: tuple[SubmissionRow, ...] = ()
