"""Why a date is what it is: one sentence, or every step of one subject."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from jointmap.intervals import REASONS, TRIGGERS, Candidates, DueItems, reason_id
from jointmap.intervals.facts import SubjectColumns
from jointmap.register import told
from jointmap.register.codes import Basis, DueState, Subject
from jointmap.register.columns import Days, Ids

_BASES = [str(basis) for basis in Basis]
_SUBJECTS = [str(subject) for subject in Subject]

Step = tuple[str, dict[str, object]]
Columns = Mapping[str, Sequence[object]]
# What a model says of some subjects (places in ``SubjectColumns``), name by name.
Numbers = Callable[[Ids], Columns]
NO_SOURCES: Mapping[int, str] = {}


def no_numbers(_rows: Ids) -> Columns:
    """Return the numbers of subjects where no model is in force: none."""
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
        What a model says of subjects, for their sentences.
    """
    chosen = int(items.governing[row])
    if chosen >= 0:
        return _sentence(chosen, candidates, sources, numbers)
    subject = Subject.at(int(items.subject[row]))
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
    state = DueState.at(int(items.state[row]))
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
    basis = str(Basis.at(int(items.basis[row])))
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
    told = _columns(np.array([index]), candidates, sources, numbers)
    return reason_id(candidates, index), {name: own[0] for name, own in told.items()}


@dataclass(frozen=True, slots=True)
class Told:
    """Items that one sentence is said of, with its values, one a row."""

    id: str
    rows: Ids  # places in the items
    values: Columns


def all_because(
    candidates: Candidates,
    items: DueItems,
    sources: Mapping[int, str] = NO_SOURCES,
    numbers: Numbers = no_numbers,
) -> Iterator[Told]:
    """Yield what ``because`` returns for each item, sentence by sentence."""
    chosen = items.governing
    from_start, from_law = (
        np.append(flags, np.False_)[chosen]
        for flags in (candidates.is_from_start, candidates.is_from_law)
    )
    counted = from_start + 2 * from_law
    kinds, kind = np.unique(
        items.reason * 8 + counted * 2 + (chosen >= 0), return_inverse=True
    )
    for n, code in enumerate(kinds.tolist()):
        rows = np.flatnonzero(kind == n)
        if code % 2:
            values = _columns(chosen[rows], candidates, sources, numbers)
            yield Told(reason_id(candidates, int(chosen[rows[0]])), rows, values)
        else:
            words = [_SUBJECTS[code] for code in items.subject[rows].tolist()]
            yield Told(REASONS[code // 8], rows, {"subject": words})


def _columns(
    at: Ids, candidates: Candidates, sources: Mapping[int, str], numbers: Numbers
) -> Columns:
    """Return the values of the sentences of some candidates, all of one kind."""
    own = candidates.take(at)
    basis = [_BASES[code] for code in own.basis.tolist()]
    rules = zip(own.rule_id.tolist(), basis, strict=True)
    triggers = own.trigger.tolist()
    found: dict[str, Sequence[object]] = {
        "due": _days(own.last_allowed_on),
        "from_on": _days(own.from_on),
        "basis": basis,
        "source": [sources.get(rule, word) for rule, word in rules],
        "years": own.years.tolist(),
        "months": own.months.tolist(),
        "days": own.days.tolist(),
        "factor": own.factor.tolist(),
        "base_months": own.base_months.tolist(),
        "base_source": [
            sources.get(rule, str(Basis.OWNER)) for rule in own.base_rule_id.tolist()
        ],
        "trigger": [TRIGGERS[code] if code >= 0 else "" for code in triggers],
        "since_on": _days(own.since_on),
    }
    if len(own) and not own.rule_id[0]:
        found |= numbers(own.row)
    return found


def _days(days: Days) -> list[object]:
    """Return plain dates; for NaT a word, because a sentence must still read."""
    unknown = told.Told("absent.unknown_day")
    return [unknown if day is None else day for day in days.tolist()]


def _day(days: Days, row: int) -> object:
    return _days(days[row : row + 1])[0]
