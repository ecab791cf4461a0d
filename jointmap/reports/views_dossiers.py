"""What the list of all dossiers shows."""

import datetime as dt
from dataclasses import dataclass

from jointmap.reports.views import NO_SIGN, Frame, Link, Sign


@dataclass(frozen=True, slots=True, kw_only=True)
class DossierLine:
    """One joint in the list of all."""

    tag: Link
    verdict: Sign
    boundary: Link
    state: str
    area: str = ""
    aliases: str = ""
    last_test_on: dt.date | None = None
    last_allowed_on: dt.date | None = None
    due_state: Sign = NO_SIGN


@dataclass(frozen=True, slots=True, kw_only=True)
class DossiersPage:
    """All joints, by tag."""

    frame: Frame
    rows: tuple[DossierLine, ...]
