"""What the page shows that holds a failure model against what was found."""

import datetime as dt
from dataclasses import dataclass

from markupsafe import Markup

from jointmap.reports.views import NO_DRAWING, Frame


@dataclass(frozen=True, slots=True, kw_only=True)
class QuarterRow:
    """Tests of one quarter: shorted as foretold, as found, and the band of chance."""

    begins_on: dt.date
    tests: int
    predicted: float
    found: int
    low: int
    high: int
    outside: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassRow:
    """A class of devices or places, and how much of its rate is its own record."""

    kind: str
    name: str
    rate: float
    failures: float
    joint_years: float
    own: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PredictedPage:
    """The model, its quarters, its classes, and the curve of failures by age."""

    frame: Frame
    model: str
    quarters: tuple[QuarterRow, ...] = ()
    classes: tuple[ClassRow, ...] = ()
    ageing: tuple[str, ...] = ()
    early: tuple[str, ...] = ()
    curve: Markup = NO_DRAWING
    curve_note: str = ""
