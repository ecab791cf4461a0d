"""Who is joined to whom: test groups, evidence, boundaries, suspects, joints."""

from jointmap.sections.boundaries import (
    BOND_ON_RECORD,
    BOUNDARY_REASONS,
    BoundaryStates,
    boundary_states,
    suspects,
    told,
)
from jointmap.sections.chances import (
    Chances,
    Ranking,
    bits_told,
    came_to_join,
    chances,
    rate_learned,
)
from jointmap.sections.electrical import electrical_groups, loops
from jointmap.sections.evidence import (
    EvidenceColumns,
    boundary_of,
    evidence,
    tells_boundary,
)
from jointmap.sections.evidence_standing import proved_since
from jointmap.sections.floating import floating
from jointmap.sections.grouping import test_groups
from jointmap.sections.halving import Cut, halving_plan, most_readings
from jointmap.sections.joint_states import JOINT_REASONS, JointStates, joint_states
from jointmap.sections.looking import Look, look
from jointmap.sections.paths import PathNow, bonds_joining, contradicting, paths_now
from jointmap.sections.suspects import SUSPECT_REASONS, Suspects

__all__ = [
    "BOND_ON_RECORD",
    "BOUNDARY_REASONS",
    "JOINT_REASONS",
    "SUSPECT_REASONS",
    "BoundaryStates",
    "Chances",
    "Cut",
    "EvidenceColumns",
    "JointStates",
    "Look",
    "PathNow",
    "Ranking",
    "Suspects",
    "bits_told",
    "bonds_joining",
    "boundary_of",
    "boundary_states",
    "came_to_join",
    "chances",
    "contradicting",
    "electrical_groups",
    "evidence",
    "floating",
    "halving_plan",
    "joint_states",
    "look",
    "loops",
    "most_readings",
    "paths_now",
    "proved_since",
    "rate_learned",
    "suspects",
    "tells_boundary",
    "test_groups",
    "told",
]
