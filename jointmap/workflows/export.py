"""The joints with verdict and due date, in open formats for other programs."""

import datetime as dt
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import numpy as np

from jointmap.assessment.site_on_day import day_of
from jointmap.errors import Problem
from jointmap.files import check_output, put_file
from jointmap.files.formats import check_ending
from jointmap.how_far import HowFar, counted, to_nobody
from jointmap.pages.asked import assessed
from jointmap.pages.dossier.place import post_text
from jointmap.pages.joint_sentences import joint_summary
from jointmap.pages.showing import Showing
from jointmap.plain_text import Cell, csv_text, visible
from jointmap.register.codes import Subject
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.shown_places import ShownPlaces, shown_places

FORMATS = (".csv", ".geojson", ".gpkg", ".gpx")
Columns = dict[str, list[Cell]]
# Also of a site without joints.
COLUMNS = (
    "tag", "aliases", "boundary", "area", "state", "post", "verdict", "last_test_on",
    "last_allowed_on", "due_state", "summary", "as_of", "as_known_on", "fingerprint",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Exported:
    """How many joints were written, and what there is to tell."""

    count: int
    told: tuple[Problem, ...]


def export_joints(
    site: SiteFolder,
    out: Path,
    *,
    on: dt.date,
    known: dt.date | None,
    force: bool = False,
    tell: HowFar = to_nobody,
) -> Exported:
    """Write all joints to ``out`` in the format its ending names; return how many.

    Raises ``WrongUse`` for another ending.
    """
    suffix = out.suffix.lower()
    check_ending(out, *FORMATS)
    check_output(out, force=force)
    tell("judging", 0, 1)
    with assessed(site, on, known) as (found, frame):
        showing = Showing(found, frame)
        joints = counted(showing.joints, "joints", len(showing.joints), tell)
        columns = joint_columns(showing, joints)
        places = shown_places(found.state, found.ground)
    told = put_file(out, _made(suffix, columns, places), force=force)
    return Exported(len(columns["tag"]), tuple(told))


def _made(
    suffix: str, columns: Columns, places: ShownPlaces
) -> str | Callable[[Path], None]:
    """Return the text of a table, or what writes another format."""
    if suffix == ".csv":
        columns["latitude"] = _degrees(places.latitude_deg)
        columns["longitude"] = _degrees(places.longitude_deg)
        rows = zip(*columns.values(), strict=True)
        return csv_text(tuple(columns), rows)
    from jointmap.exchange.geodata import write_points

    longitude, latitude = places.longitude_deg.tolist(), places.latitude_deg.tolist()
    return lambda path: write_points(path, columns, longitude, latitude)


def joint_columns(showing: Showing, joints: Iterable[int]) -> Columns:
    """Return what is written of each joint, column by column."""
    found: Columns = {name: [] for name in COLUMNS}
    for id_ in joints:
        for name, value in _row(showing, id_).items():
            found[name].append(visible(value))
    return found


def _row(showing: Showing, id_: int) -> dict[str, str]:
    joint, items = showing.joints[id_], showing.assessed.items
    item = showing.item_rows.get((Subject.JOINT.code, id_))
    due = day_of(items.last_allowed_on[item]) if item is not None else None
    last = day_of(items.last_on[item]) if item is not None else None
    return {
        "tag": joint.tag,
        "aliases": "; ".join(a.name for a in showing.state.older_tags.get(id_, [])),
        "boundary": showing.boundaries[joint.boundary_id].name,
        "area": joint.area,
        "state": str(joint.state),
        "post": post_text(showing, id_),
        "verdict": showing.joint_sign(id_).word,
        "last_test_on": last.isoformat() if last else "",
        "last_allowed_on": due.isoformat() if due else "",
        "due_state": showing.due_sign(Subject.JOINT, id_).word,
        "summary": joint_summary(showing, id_),
        "as_of": showing.frame.on.isoformat(),
        "as_known_on": showing.frame.known.isoformat(),
        "fingerprint": showing.frame.fingerprint,
    }


def _degrees(values: np.ndarray) -> list[Cell]:
    """Return degrees to the centimetre, as numbers: a minus starts no formula."""
    return [None if np.isnan(v) else Decimal(f"{v:.7f}") for v in values]
