"""The clocks of a boundary or a joint as pages show them."""

import numpy as np

from jointmap.intervals import SubjectColumns
from jointmap.register import Rule
from jointmap.register.codes import RuleShape, Subject, code_of, word_of
from jointmap.reports.views_boundary import ClockRow
from jointmap.wording import say
from jointmap.workflows.showing import Showing, day_of


def clock_rows(showing: Showing, subject: Subject, id_: int) -> tuple[ClockRow, ...]:
    """Return the clocks that run for one boundary or joint."""
    found = showing.running
    mine = found.clocks.row == _row(found.subjects, subject, id_)
    return tuple(_shown(showing, n) for n in np.flatnonzero(mine).tolist())


def _row(subjects: SubjectColumns, subject: Subject, id_: int) -> int:
    own = (subjects.subject == code_of(subject)) & (subjects.subject_id == id_)
    return int(np.flatnonzero(own)[0]) if own.any() else -1


def _shown(showing: Showing, n: int) -> ClockRow:
    found = showing.running.clocks
    rule = showing.assessed.state.records(Rule)[int(found.rule_id[n])]
    until, since = day_of(found.until_on[n]), day_of(found.from_on[n])
    over = (showing.assessed.on - until).days if until else 0
    shape = word_of(RuleShape, int(found.shape[n]))
    state = "clock.over" if over > 0 else "clock.left"
    return ClockRow(
        what=str(shape),
        since_on=since,
        until_on=until,
        days_over=max(over, 0),
        state=say(state, {"days": abs(over)}),
        source=showing.assessed.sources[int(found.rule_id[n])],
        basis=str(rule.basis),
    )
