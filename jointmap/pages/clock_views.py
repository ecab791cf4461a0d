"""The clocks of a boundary or a joint as pages show them."""

import datetime as dt

import numpy as np

from jointmap.assessment.site_on_day import day_of
from jointmap.intervals import SubjectColumns
from jointmap.pages.showing import Showing, subject_link
from jointmap.register import Decision
from jointmap.register.codes import Subject
from jointmap.register.rule_codes import RuleShape
from jointmap.reports.views import ClockRow
from jointmap.wording import say


def all_clocks(showing: Showing) -> tuple[ClockRow, ...]:
    """Return every clock that runs, the earliest day first."""
    order = np.argsort(showing.running.clocks.until_on, kind="stable")
    return tuple(_shown(showing, n) for n in order.tolist())


def clock_rows(showing: Showing, subject: Subject, id_: int) -> tuple[ClockRow, ...]:
    """Return the clocks that run for one boundary or joint."""
    found = showing.running
    mine = found.clocks.row == _row(found.subjects, subject, id_)
    return tuple(_shown(showing, n) for n in np.flatnonzero(mine).tolist())


def joint_clocks(showing: Showing, id_: int) -> tuple[ClockRow, ...]:
    """Return the clocks of a joint, and those of its boundary."""
    boundary = showing.joints[id_].boundary_id
    return (
        *clock_rows(showing, Subject.JOINT, id_),
        *clock_rows(showing, Subject.BOUNDARY, boundary),
    )


def clock_text(showing: Showing, subject: int, id_: int) -> str:
    """Return the clocks of a due subject in a line; blank for none."""
    rows: tuple[ClockRow, ...] = ()
    if subject == Subject.JOINT:
        rows = joint_clocks(showing, id_)
    elif subject == Subject.BOUNDARY:
        rows = clock_rows(showing, Subject.BOUNDARY, id_)
    return "; ".join(clock_line(row) for row in rows)


def clock_line(row: ClockRow) -> str:
    """Return one clock in words: whose, what, until when, how it stands."""
    return _line(row.whose.text, row.what, row.until_on, row.state)


def clock_lines(showing: Showing) -> dict[tuple[int, int], list[str]]:
    """Return the clocks in words that run for each (subject code, id)."""
    running = showing.running
    found = running.clocks
    subject = running.subjects.subject[found.row]
    id_ = running.subjects.subject_id[found.row]
    names = showing.names.of(subject, id_)
    lines: dict[tuple[int, int], list[str]] = {}
    for n, who in enumerate(zip(subject.tolist(), id_.tolist(), strict=True)):
        until, met = day_of(found.until_on[n]), running.met_by(n)
        state = _state(_days_over(showing, until, met), met)
        what = str(RuleShape.at(int(found.shape[n])))
        own = lines.setdefault(who, [])
        own.append(_line(names[n], what, until, state))
    return lines


def _line(whose: str, what: str, until: dt.date | None, state: str) -> str:
    facts = {"whose": whose, "what": what, "until": until, "state": state}
    return say("clock.line", facts)


def _row(subjects: SubjectColumns, subject: Subject, id_: int) -> int:
    own = (subjects.subject == subject.code) & (subjects.subject_id == id_)
    return int(np.flatnonzero(own)[0]) if own.any() else -1


def _shown(showing: Showing, n: int) -> ClockRow:
    running = showing.running
    found, met = running.clocks, running.met_by(n)
    rule = showing.state.rules[int(found.rule_id[n])]
    until, since = day_of(found.until_on[n]), day_of(found.from_on[n])
    over = _days_over(showing, until, met)
    row = int(found.row[n])
    subject, id_ = running.subjects.subject[row], running.subjects.subject_id[row]
    return ClockRow(
        whose=subject_link(showing, int(subject), int(id_)),
        what=str(RuleShape.at(int(found.shape[n]))),
        since_on=since,
        until_on=until,
        days_over=max(over, 0),
        state=_state(over, met),
        source=showing.assessed.sources[int(found.rule_id[n])],
        basis=str(rule.basis),
    )


def _days_over(showing: Showing, until: dt.date | None, met: Decision | None) -> int:
    return (showing.assessed.on - until).days if until and not met else 0


def _state(over: int, met: Decision | None) -> str:
    if met is not None:
        return say("clock.met", {"day": met.decided_on, "number": met.number})
    return say("clock.over" if over > 0 else "clock.left", {"days": abs(over)})
