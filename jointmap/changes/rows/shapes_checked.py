"""Lines, roads and measurings as sent: whether they can be drawn and driven."""

import json
from collections.abc import Iterator
from dataclasses import replace
from typing import cast

from jointmap.errors import Problem
from jointmap.location import shape_faults, tie_faults
from jointmap.register import Chainage, Line
from jointmap.storage.known import Knows


def faults_of_shape(coordinates: str) -> Iterator[Problem]:
    """Yield what is wrong with the coordinates of a line or a road."""
    yield from shape_faults(json.loads(coordinates))


def faults_of_chainage(chainage: Chainage, job: Knows) -> Iterator[Problem]:
    """Yield what is wrong with the tie points of a measuring, on its line."""
    line = cast("Line", job.known("line").record(chainage.line_id))
    points = json.loads(line.coordinates), json.loads(chainage.tie_points)
    for problem in tie_faults(*points):
        yield replace(problem, column="post")
