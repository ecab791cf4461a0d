"""The parallel paths of a boundary, as pages list them."""

from jointmap.assessment.site_on_day import day_of
from jointmap.pages.due.steps import because_of
from jointmap.pages.showing import Showing
from jointmap.register import ParallelPath
from jointmap.register.codes import Subject
from jointmap.reports.views import Link, PathRow


def path_rows(showing: Showing, boundary_id: int) -> tuple[PathRow, ...]:
    """Return the parallel paths of a boundary with their own due dates."""
    rows = []
    for id_, path in showing.state.records_of(ParallelPath, "boundary_id", boundary_id):
        item = showing.item_rows.get((Subject.PATH.code, id_))
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
                state=str(showing.path_states[id_].state),
                where=where,
                fitted_on=path.fitted_on,
                removed_on=path.removed_on,
                checked_on=showing.path_states[id_].on,
                due_on=due_on,
                flag=flag,
            )
        )
    return tuple(rows)
