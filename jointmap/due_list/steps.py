"""Why a date is what it is: one sentence, or every step of one subject."""

from collections.abc import Callable, Mapping

import numpy as np

from jointmap.intervals import REASONS, TRIGGERS, Candidates, DueItems, reason_id
from jointmap.intervals.facts import SubjectColumns
from jointmap.register.codes import Basis, DueState, Subject, word_of
from jointmap.register.columns import Days

Step = tuple[str, dict[str, object]]
Numbers = Callable[[int], Mapping[str, object]]
NO_SOURCES: Mapping[int, str] = {}


def no_numbers(_row: int) -> Mapping[str, object]:
    """Return the numbers of a subject where no model is in force: none."""
    return {}


def because(
    row: int,
    candidates: Candidates,
    items: DueItems,
    sources: Mapping[int, str] = NO_SOURCES,
    numbers: Numbers = no_numbers,
) -> Step:
    """Return the one sentence of a due item: its governing date, or why it has none.

    Parameters
    ----------
    row
        Place in ``items``.
    sources
        Citation of each rule by its id; see ``intervals.citation``. That of 0 names
        the failure model in force.
    numbers
        What a model says of a subject (place in ``SubjectColumns``), for its sentence.
    """
    chosen = int(items.governing[row])
    if chosen >= 0:
        return _sentence(chosen, candidates, sources, numbers)
    subject = word_of(Subject, int(items.subject[row]))
    return REASONS[items.reason[row]], {"subject": str(subject)}


def steps(
    row: int,
    subjects: SubjectColumns,
    candidates: Candidates,
    items: DueItems,
    sources: Mapping[int, str] = NO_SOURCES,
    numbers: Numbers = no_numbers,
) -> list[Step]:
    """Return how the date of one item came about, step by step.

    What it counts from; each candidate, the earliest first; which governs; the planning
    day; the state; and, after a shorted result, that a next test is no remedy.
    """
    found = [_counts_from(row, subjects, items)]
    own = np.flatnonzero(candidates.row == items.row[row])
    order = np.lexsort(
        (candidates.reason[own], candidates.basis[own], candidates.last_allowed_on[own])
    )
    found += [_sentence(int(i), candidates, sources, numbers) for i in own[order]]
    if not np.isnat(items.last_allowed_on[row]):
        found += _governs(row, items, sources)
    elif items.governing[row] < 0:
        found.append(because(row, candidates, items))
    state = word_of(DueState, int(items.state[row]))
    found.append(("due.step_state", {"state": str(state)}))
    if items.needs_action[row]:
        found.append(("due.step_action", {"last_on": _day(items.last_on, row)}))
    return found


def _counts_from(row: int, subjects: SubjectColumns, items: DueItems) -> Step:
    if not np.isnat(items.last_on[row]):
        return "due.step_last_test", {"last_on": _day(items.last_on, row)}
    start = items.row[row]
    if not np.isnat(subjects.starts_on[start]):
        return "due.step_start", {"start_on": _day(subjects.starts_on, int(start))}
    return "due.step_no_date", {}


def _governs(row: int, items: DueItems, sources: Mapping[int, str]) -> list[Step]:
    due, planning = items.last_allowed_on[row], _day(items.planning_on, row)
    basis = str(word_of(Basis, int(items.basis[row])))
    rule = int(items.rule_id[row])
    values = {"due": due.item(), "basis": basis, "source": sources.get(rule, basis)}
    days = int((due - items.planning_on[row]).astype(np.int64))
    return [
        ("due.step_governs", values),
        ("due.step_planning", {"planning_on": planning, "days": days}),
    ]


def _sentence(
    index: int, candidates: Candidates, sources: Mapping[int, str], numbers: Numbers
) -> Step:
    basis = str(word_of(Basis, int(candidates.basis[index])))
    trigger = int(candidates.trigger[index])
    base = int(candidates.base_rule_id[index])
    values: dict[str, object] = {
        "due": _day(candidates.last_allowed_on, index),
        "from_on": _day(candidates.from_on, index),
        "basis": basis,
        "source": sources.get(int(candidates.rule_id[index]), basis),
        "years": int(candidates.years[index]),
        "months": int(candidates.months[index]),
        "days": int(candidates.days[index]),
        "factor": float(candidates.factor[index]),
        "base_months": int(candidates.base_months[index]),
        "base_source": sources.get(base, str(Basis.OWNER)),
        "trigger": TRIGGERS[trigger] if trigger >= 0 else "",
        "since_on": _day(candidates.since_on, index),
    }
    if not candidates.rule_id[index]:
        values |= numbers(int(candidates.row[index]))
    return reason_id(candidates, index), values


def _day(days: Days, row: int) -> object:
    """Return a plain date; for NaT a text, because a sentence must still read."""
    day = days[row]
    return "an unknown day" if np.isnat(day) else day.item()
