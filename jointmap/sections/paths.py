"""What is known of each parallel path: apart, joining, or not known."""

from typing import NamedTuple

import numpy as np

from jointmap.register.codes import PathKind, PathState, Scope, Verdict
from jointmap.register.columns import Codes, Days, Flags, Ids, PathColumns, TestColumns
from jointmap.register.joining import row_of
from jointmap.register.judged import Judgements
from jointmap.register.time_order import time_key
from jointmap.sections.joining import is_last_of

APART, JOINING = PathState.APART.code, PathState.JOINING.code
NOT_KNOWN = PathState.NOT_KNOWN.code
# These pass current by design and within bounds: not a fault, and no proof of a short.
_BY_DESIGN = [k.code for k in (PathKind.RESISTANCE_BOND, PathKind.DRAINAGE)]
_BOND = PathKind.TEMPORARY_BOND.code
_BONDS = [
    k.code
    for k in (
        PathKind.BOND_ON_PURPOSE,
        PathKind.RESISTANCE_BOND,
        PathKind.DRAINAGE,
        PathKind.TEMPORARY_BOND,
    )
]


class PathNow(NamedTuple):
    """Per path: its state, since what day that is known, and whether it is there."""

    state: Codes
    known_on: Days
    is_there: Flags


def paths_now(
    paths: PathColumns, tests: TestColumns, judgements: Judgements, on: np.datetime64
) -> PathNow:
    """Return the state of each path by its last check or its record, the later one.

    A temporary bond that was put on and not taken off joins, whatever nobody wrote.
    """
    recorded_on = np.where(
        np.isnat(paths.checked_on), paths.fitted_on, paths.checked_on
    )
    state = paths.state.copy()
    left_on = (paths.kind == _BOND) & (state == NOT_KNOWN)
    state[left_on] = JOINING
    rows = _last_checks(tests, judgements)
    place = row_of(paths.path_id, tests.path_id[rows])
    rows, place = rows[place >= 0], place[place >= 0]
    later = ~(tests.tested_on[rows] < recorded_on[place])
    rows, place = rows[later], place[later]
    apart = judgements.shows[rows] == Verdict.ISOLATING
    state[place] = np.where(apart, APART, JOINING)
    known_on = recorded_on.copy()
    known_on[place] = tests.tested_on[rows]
    by_design = np.isin(paths.kind, _BY_DESIGN) & (state == JOINING)
    state[by_design] = NOT_KNOWN
    there = ~(paths.fitted_on > on) & ~(paths.removed_on <= on)
    return PathNow(state, known_on, there)


def bonds_joining(paths: PathColumns, now: PathNow) -> Flags:
    """Return which bonds join: as found last, or as recorded of one meant to."""
    meant = (now.state == NOT_KNOWN) & (paths.state == JOINING)
    joining: Flags = (now.state == JOINING) | meant
    return joining & now.is_there & np.isin(paths.kind, _BONDS)


def contradicting(paths: PathColumns, now: PathNow) -> Flags:
    """Return which bonds no good reading can stand beside: plain metal that joins.

    One that passes current by design may leave a reading good.
    """
    return bonds_joining(paths, now) & ~np.isin(paths.kind, _BY_DESIGN)


def _last_checks(tests: TestColumns, judgements: Judgements) -> Ids:
    decides = judgements.shows <= Verdict.SHORTED.code
    rows = np.flatnonzero((tests.scope == Scope.PATH) & decides)
    time = time_key(tests, judgements, rows)
    rows = rows[np.lexsort((tests.test_id[rows], time, tests.path_id[rows]))]
    return rows[is_last_of(tests.path_id[rows])]
