"""What the checks of fitting records read, one row per record.

Numbers a record does not hold are NaN; a place in a table is -1 where the thing is not
in our tables and -2 where the record does not name it.
"""

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from jointmap.assembly.coded import Coded
from jointmap.register.columns import Codes, Flags, Floats, Ids, Table

Texts: TypeAlias = Coded[str]
Sources: TypeAlias = npt.NDArray[np.object_]


@dataclass(frozen=True, slots=True)
class FittingColumns(Table):
    """One row per fitting record, with its device."""

    kind: Codes
    sides: Floats  # isolated ends of a stud
    flange: Ids  # place in tables
    thread: Ids
    scheme: Ids  # 0 where its passes are known
    low_share: Floats  # (rows, 4), of the target
    high_share: Floats
    wait_second: Floats  # before the last round
    gasket_material: Ids
    sleeve_material: Ids
    washer_material: Ids
    stud_count: Floats
    stud_metre: Floats
    pitch_metre: Floats
    yield_pascal: Floats
    gasket_metre: Floats
    gasket_outside_metre: Floats
    gasket_inside_metre: Floats
    gasket_limit_pascal: Floats
    sleeve_wall_metre: Floats
    washer_metre: Floats
    steel_metre: Floats  # as measured, else as the kit's sheet has it
    nut_factor: Floats  # of the lubricant used, else of the one planned
    planned_newton_metre: Floats
    target_newton_metre: Floats
    pass_newton_metre: Floats  # (rows, 4)
    dwell_second: Floats
    flatness_metre: Floats
    defect_depth_metre: Floats
    defect_length_metre: Floats
    gap_at_rest_metre: Floats
    draw_up_newton_metre: Floats
    hole_metre: Floats
    centreline_metre: Floats
    parallelism_metre: Floats
    hole_offset_metre: Floats
    thickness_a_metre: Floats
    thickness_b_metre: Floats
    stud_length_metre: Floats
    threads: Floats
    sleeve_metre: Floats
    projection_metre: Floats
    rated_degc: Floats
    service_degc: Floats
    photos: Floats
    tool: Codes  # -1 not named, 0 out of date, 1 in date, 2 not known
    has_people: Flags
    has_before: Flags
    has_after: Flags
    lubricant: Texts
    lubricant_allowed: Texts
    gasket_words: Texts
    washer_order: Texts
    face_a: Texts
    face_b: Texts
    tests_after: Texts
    scheme_name: Texts
    scheme_source: Sources
