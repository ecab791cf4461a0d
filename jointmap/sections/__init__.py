"""Who is joined to whom: test groups, evidence, boundaries, suspects, joints."""

from jointmap.sections.boundaries import (
    BOUNDARY_REASONS,
    BoundaryStates,
    boundary_states,
    suspects,
    told,
)
from jointmap.sections.electrical import electrical_groups, loops
from jointmap.sections.evidence import EvidenceColumns, evidence
from jointmap.sections.grouping import test_groups
from jointmap.sections.joint_states import JOINT_REASONS, JointStates, joint_states
from jointmap.sections.looking import Look, look
from jointmap.sections.paths import PathNow, paths_now
from jointmap.sections.suspects import SUSPECT_REASONS, Suspects

__all__ = [
    "BOUNDARY_REASONS",
    "JOINT_REASONS",
    "SUSPECT_REASONS",
    "BoundaryStates",
    "EvidenceColumns",
    "JointStates",
    "Look",
    "PathNow",
    "Suspects",
    "boundary_states",
    "electrical_groups",
    "evidence",
    "joint_states",
    "look",
    "loops",
    "paths_now",
    "suspects",
    "test_groups",
    "told",
]
