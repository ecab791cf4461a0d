"""The due list as columns of text, one row for each item, however many there are."""

from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.assessment.subjects import boundary_of
from jointmap.due_list import all_because, no_numbers
from jointmap.pages.clock_views import clock_lines
from jointmap.pages.due.lines import due_lines, joint_rows
from jointmap.pages.method_choice import methods_of
from jointmap.pages.showing import Showing
from jointmap.register.codes import Basis, DueState, Subject, Verdict
from jointmap.register.columns import Ids
from jointmap.snapshot.gather import pick
from jointmap.wording import say_all

Array = npt.NDArray[Any]
COLUMNS = ("subject", "kind", "boundary", "area", "state", "last_allowed_on",
           "by_law_on", "planning_on", "last_test_on", "verdict", "method", "basis",
           "because", "source", "deferred", "read_with", "clocks")  # fmt: skip
_JOINT, _BOUNDARY, _PATH = (
    s.code for s in (Subject.JOINT, Subject.BOUNDARY, Subject.PATH)
)


def due_columns(showing: Showing, order: Ids) -> dict[str, list[str]]:
    """Return ``COLUMNS`` of the items in ``order``."""
    found = showing.assessed
    items = found.items
    name = showing.names.of(items.subject, items.subject_id)
    joint = joint_rows(found)
    boundary_id = boundary_of(found.ground, items.subject, items.subject_id)
    boundary = np.full(len(items), _BOUNDARY, np.int16)
    because, source = _sentences(showing)
    whole: dict[str, Array] = {
        "subject": name,
        "kind": _words(Subject, items.subject),
        "boundary": showing.names.of(boundary, boundary_id),
        "area": pick(found.ground.joint_facts.area, joint, ""),
        "state": _words(DueState, items.state),
        "last_allowed_on": items.last_allowed_on,
        "by_law_on": showing.legal_on,
        "planning_on": items.planning_on,
        "last_test_on": items.last_on,
        "verdict": _words(Verdict, pick(found.joints.verdict, joint, -1)),
        "method": methods_of(found, items.subject, items.subject_id),
        "basis": _words(Basis, items.basis),
        "because": because,
        "source": source,
        "deferred": _deferred(showing),
        "read_with": _read_with(showing, name),
        "clocks": _clocks(showing, boundary_id),
    }
    return {column: _texts(whole[column][order]) for column in COLUMNS}


def _words(family: Any, codes: Array) -> Array:  # noqa: ANN401
    words = np.array([*(str(w) for w in family), ""], dtype=object)
    return words[codes]


def _texts(values: Array) -> list[str]:
    if values.dtype.kind != "M":
        return [str(v) for v in values.tolist()]
    days = values.tolist()
    text = {day: "" if day is None else str(day) for day in set(days)}
    return [text[day] for day in days]


def _sentences(showing: Showing) -> tuple[Array, Array]:
    """Return the sentence of each item, and the source of what governs it."""
    found = showing.assessed
    items = found.items
    numbers = found.risk.numbers if found.risk else no_numbers
    because = np.full(len(items), "", dtype=object)
    for told in all_because(found.candidates, items, found.sources, numbers):
        because[told.rows] = say_all(told.id, len(told.rows), told.values.get)
    law = np.flatnonzero(~np.isnat(showing.behind_on))
    days = {"law": showing.behind_on[law].tolist()}
    because[law] += np.array(say_all("due.by_law", len(law), days.get), dtype=object)
    rules, place = np.unique(items.rule_id, return_inverse=True)
    cited = [found.sources.get(rule, "") for rule in rules.tolist()]
    source = np.array([*cited, ""], dtype=object)
    return because, source[np.where(items.governing >= 0, place, -1)]


def _deferred(showing: Showing) -> Array:
    told = np.full(len(showing.assessed.items), "", dtype=object)
    for pair in showing.deferrals:
        row = showing.item_rows[pair]
        told[row] = showing.deferral(row)
    return told


def _read_with(showing: Showing, name: Array) -> Array:
    """Return the names of the other items that one reading credits with each."""
    told = np.full(len(name), "", dtype=object)
    lines, members = due_lines(showing.assessed)
    for n in np.flatnonzero(lines.member_count > 1).tolist():
        start = int(lines.member_from[n])
        own = members[start : start + int(lines.member_count[n])].tolist()
        for row in own:
            told[row] = "; ".join(name[other] for other in own if other != row)
    return told


def _clocks(showing: Showing, boundary_id: Ids) -> Array:
    """Return the clocks of each item in a line: a joint's own, its boundary's."""
    items = showing.assessed.items
    lines = clock_lines(showing)
    told = np.full(len(items), "", dtype=object)
    of_joint = items.subject == _JOINT
    running = {
        kind: [id_ for k, id_ in lines if k == kind] for kind in (_JOINT, _BOUNDARY)
    }
    own = of_joint & np.isin(items.subject_id, running[_JOINT])
    own |= (items.subject != _PATH) & np.isin(boundary_id, running[_BOUNDARY])
    for row in np.flatnonzero(own).tolist():
        here = lines.get((_BOUNDARY, int(boundary_id[row])), [])
        mine = lines.get((_JOINT, int(items.subject_id[row])), [])
        told[row] = "; ".join([*(mine if of_joint[row] else []), *here])
    return told
