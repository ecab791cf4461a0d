"""Since when a boundary is shorted: by a test, or by the record of a path only."""

import datetime as dt

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.assessment.site_on_day import day_of
from jointmap.register.codes import Verdict
from jointmap.register.columns import Days, Ids
from jointmap.register.joining import row_of
from jointmap.register.told import Told
from jointmap.sections import boundary_of, tells_boundary
from jointmap.snapshot.gather import pick

_NO_DAY = np.datetime64("NaT", "D")


def first_bad_tests(found: Assessment) -> Days:
    """Return per boundary the first bad test since it is bad; NaT where none was made.

    What speaks is a test of the boundary, of a joint's device on it, of a path of it.
    """
    states, tests, said = found.boundaries, found.tests, found.judgements
    verdict = said.verdict
    is_path = tests.path_id > 0
    bad = (verdict == Verdict.SHORTED) & (tells_boundary(tests) | said.tells_device)
    bad |= is_path & np.isin(verdict, [Verdict.SHORTED.code, Verdict.DOUBTFUL.code])
    rows = np.flatnonzero(bad)
    of_state = row_of(states.boundary_id, _boundary_of(found)[rows])
    rows, of_state = rows[of_state >= 0], of_state[of_state >= 0]
    later = ~(tests.tested_on[rows] < states.first_bad_on[of_state])
    rows, of_state = rows[later], of_state[later]
    order = np.argsort(tests.tested_on[rows], kind="stable")[::-1]
    first = np.full(len(states), _NO_DAY)
    first[of_state[order]] = tests.tested_on[rows[order]]
    return first


def _boundary_of(found: Assessment) -> Ids:
    paths, tests = found.ground.paths, found.tests
    by_path = pick(paths.boundary_id, row_of(paths.path_id, tests.path_id), 0)
    own = boundary_of(found.ground.joints, tests)
    ids: Ids = np.where(tests.path_id > 0, by_path, own)
    return ids


def since_told(
    since: np.datetime64, first_test: np.datetime64, cause: tuple[str, ...]
) -> tuple[Told, dt.date | None]:
    """Return since when a boundary is shorted, in words and as the day that they tell.

    ``since`` is the first bad day by all that is on record.
    """
    tested, recorded = day_of(first_test), day_of(since)
    facts: dict[str, object] = {
        "first_bad": tested,
        "recorded": recorded or Told("find.shorted_unknown_day"),
        "cause": cause,
    }
    if tested is None:
        return Told("find.shorted_recorded", facts), recorded
    word = "shorted_tested" if recorded in {None, tested} else "shorted_tested_later"
    return Told(f"find.{word}", facts), tested
