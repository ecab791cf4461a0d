"""The joint map: one HTML file, no network."""

import datetime as dt
from collections.abc import Iterable

import numpy as np

from jointmap.pages.asked import assessed
from jointmap.pages.dossier.place import post_text
from jointmap.pages.due.steps import because_of
from jointmap.pages.showing import Showing
from jointmap.register.codes import DeviceKind, Subject
from jointmap.register.columns import Codes
from jointmap.site_map.data import MapData, MapJoints
from jointmap.site_map.page import page
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.shown_places import shown_places


def map_html(site: SiteFolder, *, on: dt.date, known: dt.date | None) -> str:
    """Return the map of all joints as one page."""
    with assessed(site, on, known) as (found, frame):
        return page(map_data(Showing(found, frame)))


def map_data(showing: Showing) -> MapData:
    """Return everything that stands on the map of a state."""
    frame = showing.frame
    boundaries = [showing.boundaries[i].name for i in sorted(showing.boundaries)]
    areas = sorted(set(showing.assessed.ground.joint_facts.area.tolist()))
    return MapData(
        site=frame.site,
        on=frame.on,
        known=frame.known.isoformat(),
        fingerprint=frame.fingerprint,
        version=frame.version,
        joints=_joints(showing, boundaries, areas),
        boundary_names=tuple(boundaries),
        area_names=tuple(areas),
        kind_names=tuple(str(k) for k in DeviceKind),
        lines=tuple(showing.lines.values()),
    )


def _joints(showing: Showing, boundaries: list[str], areas: list[str]) -> MapJoints:
    found, ground = showing.assessed, showing.assessed.ground
    places = shown_places(found.state, ground)
    ids = ground.joints.joint_id.tolist()
    items = [showing.item_rows.get((Subject.JOINT.code, i), -1) for i in ids]
    names = [showing.boundaries[b].name for b in ground.joints.boundary_id.tolist()]
    tags = ground.joint_facts.tag.tolist()
    return MapJoints(
        tag=tags,
        latitude_deg=places.latitude_deg,
        longitude_deg=places.longitude_deg,
        accuracy_metre=_accuracies(showing, ids),
        verdict=found.joints.verdict,
        due_state=np.array([showing.due_code(Subject.JOINT, i) for i in ids], np.int16),
        boundary=_places_in(boundaries, names),
        area=_places_in(areas, ground.joint_facts.area.tolist()),
        kind=ground.joints.device_kind,
        due_on=_days(found.items.last_allowed_on, items),
        last_on=_days(found.items.last_on, items),
        is_suspect=found.joints.is_suspect,
        position_in_doubt=places.in_doubt,
        alias=[
            "; ".join(a.name for a in showing.state.older_tags.get(i, [])) for i in ids
        ],
        dossier=[f"{showing.dossier_files[t]}.html" for t in tags],
        where=[post_text(showing, i) for i in ids],
        because=[because_of(showing, row)[0] if row >= 0 else "" for row in items],
    )


def _accuracies(showing: Showing, ids: Iterable[int]) -> np.ndarray:
    known = {
        p.subject_id: p.accuracy_metre
        for p in showing.state.positions.values()
        if p.subject is Subject.JOINT
    }
    return np.array([known.get(i) or np.nan for i in ids], dtype=np.float64)


def _days(days: np.ndarray, items: list[int]) -> np.ndarray:
    none = np.datetime64("NaT", "D")
    return np.array([days[i] if i >= 0 else none for i in items], dtype="datetime64[D]")


def _places_in(names: list[str], found: Iterable[str]) -> Codes:
    place = {name: n for n, name in enumerate(names)}
    return np.array([place[name] for name in found], dtype=np.int16)
