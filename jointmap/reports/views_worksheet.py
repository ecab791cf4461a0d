"""What the fitting worksheet of one joint shows."""

from dataclasses import dataclass

from markupsafe import Markup

from jointmap.reports.views import NO_DRAWING, Fact, Frame
from jointmap.wording.worksheet import SIGNED


@dataclass(frozen=True, slots=True)
class NumberRow:
    """One number in both unit systems; ``note`` says where it comes from."""

    what: str
    metric: str
    inch: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class PassRow:
    """One pass: what to set on the wrench, in each unit system."""

    number: int
    order: str
    share: str
    newton_metre: str
    foot_pound: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Worksheet:
    """One joint to be fitted.

    ``turns[i]`` is the turn of stud i + 1 in cross order; ``groups`` are the studs in
    that order, a few to a group.
    """

    frame: Frame
    tag: str
    aliases: str
    kind: str
    sides: str
    boundary: str
    code: Markup
    fitted: tuple[Fact, ...]
    cautions: tuple[str, ...]
    steps: tuple[str, ...]
    numbers: tuple[NumberRow, ...] = ()
    kit_note: str = ""
    scheme: str = ""
    scheme_source: str = ""
    passes: tuple[PassRow, ...] = ()
    clock: Markup = NO_DRAWING
    turns: tuple[int, ...] = ()
    groups: tuple[str, ...] = ()
    stud_note: str = ""
    whole: tuple[str, ...] = ()
    blanks: tuple[str, ...] = ()
    signed: tuple[str, ...] = SIGNED
