"""The parallel paths of a boundary, as pages list them."""

import datetime as dt

from jointmap.pages.due.steps import because_of
from jointmap.pages.showing import Showing, day_of
from jointmap.register import ParallelPath
from jointmap.register.codes import PathState, Subject, code_of, word_of
from jointmap.reports.views import Link, PathRow


def path_rows(showing: Showing, boundary_id: int) -> tuple[PathRow, ...]:
    """Return the parallel paths of a boundary with their own due dates."""
    rows, now = [], showing.paths_now
    place = {id_: n for n, id_ in enumerate(showing.assessed.ground.paths.path_id)}
    for id_, path in showing.paths.items():
        if path.boundary_id != boundary_id:
            continue
        item = showing.item_rows.get((code_of(Subject.PATH), id_))
        items = showing.assessed.items
        due_on = day_of(items.last_allowed_on[item]) if item is not None else None
        where = showing.joint_link(path.joint_id) if path.joint_id else Link("")
        flag = (
            because_of(showing, item)[0] if item is not None and due_on is None else ""
        )
        rows.append(
            PathRow(
                name=path.name,
                kind=str(path.kind),
                state=str(word_of(PathState, int(now.state[place[id_]]))),
                where=where,
                fitted_on=path.fitted_on,
                removed_on=path.removed_on,
                checked_on=_looked_at(showing, path, place[id_]),
                due_on=due_on,
                flag=flag,
            )
        )
    return tuple(rows)


def _looked_at(showing: Showing, path: ParallelPath, row: int) -> dt.date | None:
    """Return the last look: a test, or the record; the day it was fitted is none."""
    known = day_of(showing.paths_now.known_on[row])
    only_fitted = path.checked_on is None and known == path.fitted_on
    return None if only_fitted else known
