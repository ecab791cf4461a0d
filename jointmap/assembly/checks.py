"""How joints were fitted, checked one fact at a time; ``CHECKS`` lists every check."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

import jointmap.assembly.checks_of_faces as of_faces
import jointmap.assembly.checks_of_geometry as geometry
import jointmap.assembly.checks_of_load as loads
import jointmap.assembly.checks_of_papers as papers
from jointmap.assembly.checks_of_materials import kit_temperature, material_check
from jointmap.assembly.fitting_columns import FittingColumns
from jointmap.assembly.fittings import PASSES
from jointmap.assembly.found import DOES_NOT_APPLY, DOES_NOT_MEET, Check, Found, Result
from jointmap.assembly.from_records import NOWHERE, Surroundings, fittings_of_records
from jointmap.register import Device, Installation
from jointmap.register.codes import DeviceKind
from jointmap.register.columns import Flags, Ids

# In the order in which a fitter works.
CHECKS: dict[str, Callable[[FittingColumns], Found]] = {
    "layout": papers.layout,
    "stud_count": geometry.stud_count,
    "stud_size": geometry.stud_size,
    "faces": papers.faces,
    "flatness": of_faces.flatness,
    "face_defect": of_faces.face_defect,
    "centreline": of_faces.centreline,
    "parallelism": of_faces.parallelism,
    "gap_at_rest": of_faces.gap_at_rest,
    "draw_up": of_faces.draw_up,
    "hole_offset": geometry.hole_offset,
    "sleeve_length": geometry.sleeve_length,
    "sleeve_projection": geometry.sleeve_projection,
    "washer_order": papers.washer_order,
    "stud_length": geometry.stud_length,
    "threads": geometry.threads,
    "lubricant": papers.lubricant,
    "tool": papers.tool,
    "torque": loads.torque,
    **{f"pass_{number}": loads.pass_check(number) for number in PASSES},
    "dwell": loads.dwell,
    "stress": loads.stress,
    "washer_load": loads.washer_load,
    "gasket_load": loads.gasket_load,
    "kit_temperature": kit_temperature,
    **{f"{p}_temperature": material_check(p) for p in ("gasket", "sleeve", "washer")},
    "people": papers.people,
    "proven": papers.proven,
    "photos": papers.photos,
}
# What is also asked of a joint that comes whole: monolithic joint, union, coupling.
OF_EVERY_KIND = ("people", "proven", "photos")


@dataclass(frozen=True, slots=True)
class Review:
    """Every check over all rows."""

    found: Mapping[str, Found]

    def of(self, row: int) -> tuple[Check, ...]:
        """Return the checks that apply to a row, in the order of ``CHECKS``."""
        return tuple(
            found.check(row)
            for found in self.found.values()
            if found.result[row] != DOES_NOT_APPLY
        )

    def faults(self) -> Iterator[tuple[int, Check]]:
        """Yield row and check of everything that does not meet."""
        for name, rows in self.failed():
            for row in rows.tolist():
                yield row, self.found[name].check(row)

    def failed(self) -> Iterator[tuple[str, Ids]]:
        """Yield each check's name with the rows that do not meet it."""
        for name, found in self.found.items():
            yield name, np.flatnonzero(found.result == DOES_NOT_MEET)

    def count(self, result: Result) -> Ids:
        """Return how many checks of each row had ``result``."""
        columns = [f.result == result.code for f in self.found.values()]
        return np.asarray(np.sum(columns, axis=0))


def review_all(rows: FittingColumns) -> Review:
    """Return every check of every record; each row is judged by its own layout."""
    is_kit = rows.kind == DeviceKind.FLANGE_KIT
    with np.errstate(invalid="ignore", divide="ignore"):
        found = {name: check(rows) for name, check in CHECKS.items()}
    return Review({n: _of_kits(f, is_kit) for n, f in found.items()})


def _of_kits(found: Found, is_kit: Flags) -> Found:
    if found.name in OF_EVERY_KIND:
        return found
    return replace(found, result=np.where(is_kit, found.result, DOES_NOT_APPLY))


def review(
    device: Device, installation: Installation, around: Surroundings = NOWHERE
) -> tuple[Check, ...]:
    """Return every check that applies to one record."""
    return review_all(fittings_of_records([device], [installation], [around])).of(0)


__all__ = ["CHECKS", "Check", "Result", "Review", "review", "review_all"]
