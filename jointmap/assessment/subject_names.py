"""What everything that may be due is called, as columns."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from jointmap.assessment.assess import Assessment
from jointmap.register import Boundary, CurrentSource, ParallelPath, Record
from jointmap.register.codes import Subject
from jointmap.register.columns import Codes, Ids
from jointmap.register.joining import row_of
from jointmap.snapshot.gather import pick
from jointmap.snapshot.site_columns import names_by_id

Array = npt.NDArray[Any]


@dataclass(frozen=True, slots=True)
class SubjectNames:
    """Ids and names of joints, boundaries, paths and sources."""

    ids: dict[Subject, Ids]
    names: dict[Subject, Array]

    def of(self, subject: Codes, subject_id: Ids) -> Array:
        """Return the name of each subject; blank where there is none."""
        found = np.full(len(subject), "", dtype=object)
        for kind, ids in self.ids.items():
            mine = np.flatnonzero(subject == kind.code)
            rows = row_of(ids, subject_id[mine])
            found[mine] = pick(self.names[kind], rows, "")
        return found


# What is called by a ``name``; a joint has a tag.
KINDS: dict[Subject, type[Record]] = {
    Subject.BOUNDARY: Boundary,
    Subject.PATH: ParallelPath,
    Subject.SOURCE: CurrentSource,
}


def subject_names(found: Assessment) -> SubjectNames:
    """Return what everything that may be due is called on the day of ``found``."""
    ground = found.ground
    names = SubjectNames(
        {Subject.JOINT: ground.joints.joint_id},
        {Subject.JOINT: ground.joint_facts.tag},
    )
    for subject, kind in KINDS.items():
        names.ids[subject], names.names[subject] = names_by_id(found.state, kind)
    return names
