"""The design check: joints that can never isolate, or should not stand there."""

import re
from collections.abc import Iterator

import numpy as np

from jointmap.assessment.site_on_day import day_of
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.findings.of_boundaries import floating_structures
from jointmap.register import (
    Boundary,
    Joint,
)
from jointmap.register.codes import (
    LEFT_DUTY,
    JointState,
    PathKind,
    Purpose,
    Scope,
    WaterContent,
)
from jointmap.register.columns import Ids
from jointmap.register.told import Told
from jointmap.sections import electrical_groups

# Zone 2 stands for gas only when something is wrong; the issue is zones 0 and 1.
_GAS = re.compile(r"\b(zone\s*[01]|division\s*1|class\s*i)\b", re.IGNORECASE)
# What is meant to pass current, now and then or always.
_BRIDGES = (
    PathKind.BOND_ON_PURPOSE, PathKind.RESISTANCE_BOND, PathKind.TEMPORARY_BOND,
    PathKind.DRAINAGE, PathKind.SURGE_DEVICE,
)  # fmt: skip
DESIGN_ARC = Kind("design_arc", Gravity.ACT_SOON, "isolation")
DESIGN_LINING = Kind("design_lining", Gravity.LOOK, "common_practice")
DESIGN_JOINED = Kind("design_joined", Gravity.ACT_SOON, "record")
DESIGN_SURGE = Kind("design_surge", Gravity.ACT_SOON, "isolation")
DESIGN_TEST_POINT = Kind("design_test_point", Gravity.LOOK, "common_practice")
DESIGN_FLOATING_SHIP = Kind("design_floating_ship", Gravity.ACT_TODAY, "ship")
DESIGN_BRIDGED_SHIP = Kind("design_bridged_ship", Gravity.ACT_TODAY, "common_practice")
DESIGN_ONE_SOURCE = Kind("design_one_source", Gravity.LOOK, "common_practice")
DESIGN_STUD_COUNT = Kind(
    "design_stud_count", Gravity.FOR_THE_RECORD, "record", "tested"
)


def _joints(seen: Seen) -> Iterator[tuple[int, Joint]]:
    for id_, joint in seen.site.joints.items():
        if joint.state not in LEFT_DUTY:
            yield id_, joint


@finds(DESIGN_ARC)
def arc_prevention(seen: Seen) -> Iterator[Found]:
    """Yield joints in gas or an enclosed place with nothing to prevent an arc."""
    for id_, joint in _joints(seen):
        gas = bool(_GAS.search(joint.hazardous_area))
        if (gas or joint.in_vault) and not joint.arc_prevention:
            area = joint.hazardous_area if gas else Told("design.enclosed")
            about = About.joint(id_)
            yield seen.finding(DESIGN_ARC, about, "design_arc", area=area)


@finds(DESIGN_LINING)
def lining(seen: Seen) -> Iterator[Found]:
    """Yield planned joints in wet service whose device has a side without lining.

    Those in duty stand among the findings of water inside.
    """
    fitted = seen.site.assessed.ground.joints.device_id
    devices = seen.site.state.devices
    for id_, joint in _joints(seen):
        device = devices.get(int(fitted[seen.site.joint_rows[id_]]))
        if joint.water_content is not WaterContent.WET or (
            joint.state is not JointState.PLANNED and device is not None
        ):
            continue
        ends = {
            "A": device.lining_a_metre if device else None,
            "B": device.lining_b_metre if device else None,
        }
        sides = " and ".join(side for side, length in ends.items() if not length)
        if sides:
            about = About.joint(id_)
            yield seen.finding(DESIGN_LINING, about, "design_lining", sides=sides)


@finds(DESIGN_JOINED)
def joined_elsewhere(seen: Seen) -> Iterator[Found]:
    """Yield boundaries whose structures are one by other boundaries than this one."""
    site = seen.site
    ground = site.assessed.ground
    bounds, ids = ground.boundaries, ground.structures.id
    joined = site.joined
    for row in _in_a_joined_group(seen, joined):
        without = joined.copy()
        without[row] = False
        groups = electrical_groups(
            ids, bounds.structure_a_id, bounds.structure_b_id, without
        )
        side = dict(zip(ids.tolist(), groups.tolist(), strict=True))
        a, b = int(bounds.structure_a_id[row]), int(bounds.structure_b_id[row])
        if side[a] == side[b]:
            links = np.flatnonzero(without & np.isin(bounds.structure_a_id, [
                s for s, g in side.items() if g == side[a]]))  # fmt: skip
            names = [site.boundaries[int(bounds.boundary_id[n])].name for n in links]
            about = About.boundary(int(bounds.boundary_id[row]))
            yield seen.finding(
                DESIGN_JOINED, about, "design_joined", names=", ".join(names)
            )


def _in_a_joined_group(seen: Seen, joined: np.ndarray) -> list[int]:
    """Return the rows of boundaries with both sides in one group now."""
    ground = seen.site.assessed.ground
    bounds, ids = ground.boundaries, ground.structures.id
    groups = electrical_groups(
        ids, bounds.structure_a_id, bounds.structure_b_id, joined
    )
    place = dict(zip(ids.tolist(), groups.tolist(), strict=True))
    pairs = zip(
        bounds.structure_a_id.tolist(), bounds.structure_b_id.tolist(), strict=True
    )
    return [n for n, (a, b) in enumerate(pairs) if place.get(a) == place.get(b)]


@finds(DESIGN_SURGE)
def surge_device(seen: Seen) -> Iterator[Found]:
    """Yield joints beside a power line without a surge protective device.

    One at another joint of the boundary is named, but a surge does not go that far.
    """
    devices = [
        p
        for p in seen.site.paths.values()
        if p.kind is PathKind.SURGE_DEVICE and p.removed_on is None
    ]
    has = {p.joint_id for p in devices}
    for id_, joint in _joints(seen):
        if joint.near_power_line and id_ not in has:
            names = [p.name for p in devices if p.boundary_id == joint.boundary_id]
            yield seen.finding(
                DESIGN_SURGE,
                About.joint(id_),
                "design_surge_beside" if names else "design_surge",
                names=", ".join(names),
            )


@finds(DESIGN_TEST_POINT)
def no_test_point(seen: Seen) -> Iterator[Found]:
    """Yield buried joints that no test point reaches.

    Joints of one test group are read together.
    """
    points = seen.site.state.test_points.values()
    groups, rows = seen.site.assessed.groups, seen.site.joint_rows
    reached = {int(groups[rows[p.joint_id]]) for p in points if p.joint_id}
    for id_, joint in _joints(seen):
        if joint.is_buried and int(groups[rows[id_]]) not in reached:
            about = About.joint(id_)
            yield seen.finding(DESIGN_TEST_POINT, about, "design_test_point")


@finds(DESIGN_FLOATING_SHIP)
def floating_at_a_ship(seen: Seen) -> Iterator[Found]:
    """Yield ship/shore boundaries with a side that floats.

    What joins the two sides of such a boundary earths neither: it must not be there.
    """
    lost = floating_structures(seen.site, _without_ships(seen))
    names = seen.site.state.structures
    for id_, boundary in seen.site.boundaries.items():
        if boundary.purpose is Purpose.SHIP_SHORE:
            for side in _sides(boundary):
                if side in lost:
                    about = About.boundary(id_)
                    name = names[side].name
                    yield seen.finding(
                        DESIGN_FLOATING_SHIP,
                        about,
                        "design_floating_ship",
                        structure=name,
                    )


def _without_ships(seen: Seen) -> Ids:
    """Return what is one metal where nothing joins a ship to the shore."""
    ground = seen.site.assessed.ground
    bounds, ids = ground.boundaries, ground.structures.id
    joined = seen.site.joined & (bounds.purpose != Purpose.SHIP_SHORE.code)
    sides = bounds.structure_a_id, bounds.structure_b_id
    return electrical_groups(ids, *sides, joined)


@finds(DESIGN_BRIDGED_SHIP)
def bridged_at_a_ship(seen: Seen) -> Iterator[Found]:
    """Yield ship/shore boundaries with a bond or a surge device across them."""
    boundaries = seen.site.boundaries
    for path in seen.site.paths.values():
        is_ship = boundaries[path.boundary_id].purpose is Purpose.SHIP_SHORE
        if is_ship and path.kind in _BRIDGES and path.removed_on is None:
            yield seen.finding(
                DESIGN_BRIDGED_SHIP,
                About.boundary(path.boundary_id),
                "design_bridged_ship",
                name=path.name,
                path_kind=str(path.kind),
            )


@finds(DESIGN_ONE_SOURCE)
def fed_from_both_sides(seen: Seen) -> Iterator[Found]:
    """Yield boundaries with both sides fed by one source: its cables may join them."""
    sources = seen.site.state.sources
    fed = [(sources[id_].name, {*to}) for id_, to in seen.site.fed.items()]
    for id_, boundary in seen.site.boundaries.items():
        both = [name for name, to in fed if to.issuperset(_sides(boundary))]
        if both:
            about = About.boundary(id_)
            names = ", ".join(both)
            yield seen.finding(
                DESIGN_ONE_SOURCE, about, "design_one_source", names=names
            )


def _sides(boundary: Boundary) -> tuple[int, int]:
    return boundary.structure_a_id, boundary.structure_b_id


@finds(DESIGN_STUD_COUNT)
def stud_count(seen: Seen) -> Iterator[Found]:
    """Yield readings of a stud that the device fitted that day does not have."""
    tests = seen.site.assessed.tests
    devices = seen.site.state.devices
    studs = (tests.scope == Scope.STUD) & (tests.device_id > 0)
    for row in np.flatnonzero(studs).tolist():
        count = devices[int(tests.device_id[row])].stud_count
        if count is not None and tests.stud[row] > count:
            about = About.joint(int(tests.joint_id[row]))
            facts: dict[str, object] = {
                "stud": int(tests.stud[row]),
                "count": count,
                "tested": day_of(tests.tested_on[row]),
            }
            yield seen.finding(DESIGN_STUD_COUNT, about, "design_stud_count", **facts)


DESIGN_FINDERS: tuple[Finder, ...] = (
    arc_prevention,
    lining,
    joined_elsewhere,
    surge_device,
    no_test_point,
    floating_at_a_ship,
    bridged_at_a_ship,
    fed_from_both_sides,
    stud_count,
)
