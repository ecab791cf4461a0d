"""The studs of a joint as its dossier shows them."""

from collections.abc import Mapping

import numpy as np

from jointmap.acceptance import REASONS
from jointmap.acceptance.stud_states import CORE, STUD_REASONS
from jointmap.assessment.site_on_day import day_of
from jointmap.pages.showing import Showing, verdict_sign
from jointmap.pages.shown_tests import ShownTests, reading_text
from jointmap.register.codes import Side, Verdict
from jointmap.reports.views_dossier import StudRow
from jointmap.wording import say

_PLAIN = REASONS.index("verdict.stud_plain_side")


def stud_rows(
    showing: Showing, tests: ShownTests, joint_id: int
) -> tuple[StudRow, ...]:
    """Return one row per stud that was read; the gasket core comes as number 0."""
    studs = showing.assessed.studs
    rows = np.flatnonzero(studs.joint_id == joint_id)
    return tuple(_row(showing, tests, int(row)) for row in rows)


def _row(showing: Showing, tests: ShownTests, row: int) -> StudRow:
    studs = showing.assessed.studs
    left, possible = int(studs.sides_left[row]), int(studs.sides_possible[row])
    lost = int(studs.lost_side[row])
    number = int(studs.stud[row])
    values = {
        "stud": number,
        "what": "gasket core" if number == CORE else f"stud {number}",
        "left": left,
        "possible": possible,
        "side": list(Side)[lost] if lost >= 0 else "",
        "since": day_of(studs.lost_on[row]),
        "other": list(Side)[1 - lost] if lost >= 0 else "",
    }
    return StudRow(
        number=number,
        to_a=_reading(showing, tests, int(studs.row_a[row])),
        to_b=_reading(showing, tests, int(studs.row_b[row])),
        tested_on=day_of(studs.tested_on[row]),
        sides_left=f"{left} of {possible}" if left >= 0 else "not known",
        verdict=verdict_sign(_verdict(left, possible)),
        sentence=_sentence(showing, row, values),
    )


def _sentence(showing: Showing, row: int, values: Mapping[str, object]) -> str:
    """Return what a stud's readings mean; of a one-side kit also what is by design."""
    found = showing.assessed
    told = say(STUD_REASONS[int(found.studs.reason[row])], values)
    rows = (int(found.studs.row_a[row]), int(found.studs.row_b[row]))
    plain = [
        side
        for side, test in zip(Side, rows, strict=True)
        if test >= 0 and found.judgements.reason[test] == _PLAIN
    ]
    return "; ".join([told, *(say("stud.plain_side", {"side": s}) for s in plain)])


def _verdict(left: int, possible: int) -> int:
    if left < 0 or possible < 0:
        return Verdict.INCONCLUSIVE.code
    if left == 0:
        return Verdict.SHORTED.code
    return (Verdict.ISOLATING if left == possible else Verdict.DOUBTFUL).code


def _reading(showing: Showing, tests: ShownTests, row: int) -> str:
    if row < 0:
        return ""
    return reading_text(tests.records[int(showing.assessed.tests.test_id[row])])
