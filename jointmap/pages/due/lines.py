"""The lines of a due list: each a reading to be made, and what it credits."""

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.due_list import Credit, DueLines, grouped
from jointmap.intervals import refuses_credit
from jointmap.pages.method_choice import method_codes
from jointmap.register.codes import Subject
from jointmap.register.columns import Flags, Ids
from jointmap.register.joining import row_of
from jointmap.snapshot.gather import pick
from jointmap.tables import METHODS

_TELLS_BOUNDARY = np.array([m.tells == "boundary" for m in METHODS])
_JOINT = Subject.JOINT.code


def due_lines(found: Assessment) -> tuple[DueLines, Ids]:
    """Return the due lines of a state and the items of each, line after line."""
    return grouped(found.items, _credit(found), found.ground.site.reach_metre)


def joint_rows(found: Assessment) -> Ids:
    """Return the row in the joint columns of each due item; -1 for other subjects."""
    items = found.items
    own = np.where(items.subject == _JOINT, items.subject_id, 0)
    return row_of(found.ground.joints.joint_id, own)


def _credit(found: Assessment) -> Credit:
    items, joints, row = found.items, found.ground.joints, joint_rows(found)
    method = method_codes(found, items.subject, items.subject_id)
    return Credit(
        group=pick(found.groups, row, 0),
        x_metre=pick(joints.x_metre, row, np.nan),
        y_metre=pick(joints.y_metre, row, np.nan),
        gives=_TELLS_BOUNDARY[method],
        takes=_takes(found, row),
    )


def _takes(found: Assessment, row: Ids) -> Flags:
    """Return which items a reading made at another joint moves: not by owner's rule."""
    joints = found.subjects.take(found.subjects.subject == _JOINT)
    refusing = joints.subject_id[refuses_credit(joints, found.ground.rules)]
    takes: Flags = (row >= 0) & ~np.isin(found.items.subject_id, refusing)
    return takes
