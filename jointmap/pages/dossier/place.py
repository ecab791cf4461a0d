"""Where a joint is, what it keeps apart, and how to get there safely."""

from collections.abc import Collection, Iterator, Sequence

import numpy as np

from jointmap.pages.boundary_sentences import boundary_sign, boundary_statement
from jointmap.pages.showing import Showing
from jointmap.pages.shown_values import facts_of
from jointmap.register import ParallelPath, Position
from jointmap.register.codes import (
    Subject,
)
from jointmap.reports.views import Finding
from jointmap.reports.views_dossier import AliasRow, PlaceView, PositionView
from jointmap.site_map.small_maps import Spot, location_svg
from jointmap.wording import say
from jointmap.wording.cautions import Situation, cautions_for, situations_of

NEIGHBOUR_METRE = 300.0
_SERVICE = ["fluid", "water_content", "conductivity_siemens_per_metre",
            "temperature_degc", "pressure_pascal", "severity",
            "consequence"]  # fmt: skip


def place_view(showing: Showing, id_: int, findings: Sequence[Finding]) -> PlaceView:
    """Return the place of a joint."""
    joint = showing.joints[id_]
    boundary = showing.boundaries[joint.boundary_id]
    aliases = showing.state.older_tags.get(id_, [])
    return PlaceView(
        boundary=showing.boundary_link(joint.boundary_id),
        boundary_state=boundary_sign(showing, joint.boundary_id),
        boundary_sentence=boundary_statement(showing, joint.boundary_id),
        purpose=str(boundary.purpose),
        structure_a=showing.structure(boundary.structure_a_id),
        structure_b=showing.structure(boundary.structure_b_id),
        state=str(joint.state),
        area=joint.area,
        kilometre_post=post_text(showing, id_),
        which_one=joint.which_one,
        electrode_place=joint.electrode_place,
        service=facts_of(joint, _SERVICE),
        access=tuple(access_needs(showing, id_)),
        cautions=cautions_at(showing, id_),
        aliases=tuple(
            AliasRow(
                name=a.name, from_on=a.from_on, until_on=a.until_on, remark=a.remark
            )
            for a in aliases
        ),
        position=_position(showing, id_, findings),
    )


def post_text(showing: Showing, id_: int) -> str:
    """Return a joint's kilometre post with the year of its measuring."""
    joint = showing.joints[id_]
    if joint.post_kilometre is None:
        return ""
    line = ""
    if joint.line_id is not None:
        line = f"{showing.state.lines[joint.line_id].name}, "
    measuring = {"measuring": joint.post_measuring}
    of = say("place.chainage", measuring) if joint.post_measuring else ""
    return f"{line}KP {joint.post_kilometre:.3f}{of}"


def access_needs(showing: Showing, id_: int) -> Iterator[str]:
    """Yield what a visit needs: hours, persons, season, permits."""
    joint = showing.joints[id_]
    if joint.permit_from or joint.permit_until:
        first, last = joint.permit_from or "00:00", joint.permit_until or "24:00"
        yield say("place.permit", {"first": first, "last": last})
    if joint.two_persons:
        yield say("place.two_persons")
    if joint.season_from:
        season = {"first": joint.season_from, "last": joint.season_until}
        yield say("place.season", season)
    if joint.hazardous_area:
        yield say("place.hazardous", {"area": joint.hazardous_area})
    if joint.access_note:
        yield joint.access_note


def cautions_at(
    showing: Showing, id_: int, also: Collection[Situation] = ()
) -> tuple[str, ...]:
    """Return the cautions that a visit to the joint calls for, ``also`` for a job."""
    joint = showing.joints[id_]
    boundary = showing.boundaries[joint.boundary_id]
    paths = showing.state.records_of(ParallelPath, "boundary_id", joint.boundary_id)
    kinds = [path.kind for _, path in paths]
    joined = boundary.joined_from_on is not None
    found = situations_of(joint, boundary.purpose, kinds, joined_on_purpose=joined)
    values = {"ac_limit": showing.assessed.ground.site.ac_limit_volt}
    return tuple(say(id_, values) for id_ in cautions_for({*found, *also}))


def _position(showing: Showing, id_: int, findings: Sequence[Finding]) -> PositionView:
    found = showing.state.records_of(Position, "subject_id", id_)
    own = [p for _, p in found if p.subject is Subject.JOINT]
    doubts = [f.sentence for f in findings if f.kind == "position_doubt"]
    if not own:
        return PositionView(doubt="; ".join(doubts))
    position = own[-1]
    working = ""
    if position.latitude_deg is not None and position.longitude_deg is not None:
        working = f"{position.latitude_deg:.6f}, {position.longitude_deg:.6f}"
    accuracy = facts_of(position, ["accuracy_metre"])[0].value
    return PositionView(
        working=working,
        captured=f"{position.captured_x}, {position.captured_y}",
        crs=position.captured_crs,
        method=position.method,
        accuracy=accuracy,
        captured_on=position.captured_on,
        doubt="; ".join(doubts),
    )


def location_map(showing: Showing, id_: int) -> str:
    """Return the small map of a joint and those within 300 m of it."""
    joints = showing.assessed.ground.joints
    row = showing.joint_rows[id_]
    away = np.hypot(
        joints.x_metre - joints.x_metre[row], joints.y_metre - joints.y_metre[row]
    )
    near = np.flatnonzero(away <= NEIGHBOUR_METRE)
    beside = [spot(showing, int(n)) for n in near if n != row]
    line = showing.lines.get(showing.joints[id_].line_id or 0)
    return location_svg(spot(showing, row), beside, line)


def spot(showing: Showing, row: int) -> Spot:
    """Return one joint as small maps draw it."""
    joints, states = showing.assessed.ground.joints, showing.assessed.joints
    id_ = int(joints.joint_id[row])
    return Spot(
        showing.joints[id_].tag,
        float(joints.latitude_deg[row]),
        float(joints.longitude_deg[row]),
        int(states.verdict[row]),
        showing.due_code(Subject.JOINT, id_),
        bool(states.is_suspect[row]),
    )
