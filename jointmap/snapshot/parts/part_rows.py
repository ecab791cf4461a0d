"""The rows of some boundaries: joints, devices, paths, tests, sources that feed."""

from collections.abc import Collection

from jointmap.register import (
    Alias,
    Altered,
    Boundary,
    Chainage,
    CurrentSource,
    Device,
    Installation,
    IsolationTest,
    Joint,
    Lead,
    Line,
    Occurrence,
    ParallelPath,
    Record,
    Structure,
    TestPoint,
)
from jointmap.register.codes import Subject
from jointmap.snapshot.feeds import NO_SOURCE, PORTABLE, listed
from jointmap.snapshot.older_names import ids_called
from jointmap.snapshot.parts.part_closed import altered_of
from jointmap.storage import Reading
from jointmap.storage.within import Only

Ids = Collection[int]
_SIDES = ("structure_a_id", "structure_b_id")


def rows_of_boundaries(state: Reading, own: Ids) -> Only:
    """Return the rows of some boundaries, and of all joints ever on them.

    A joint that was moved brings the boundaries it stood on before, with the joints
    that stood there then: what was read there says something of it.
    """
    before = was_on(state, joints_ever_on(state, own))
    own = {*own, *before}
    joints = joints_ever_on(state, own)
    only: dict[type[Record], Ids] = {Boundary: own, Joint: joints}
    only |= _sides(state, own)
    only |= _on_joints(state, only)
    only |= _tests(state, only)
    only |= _cycled(state, only)
    only[CurrentSource] = {*only[CurrentSource], *_fed_others(state)}
    return only


def joints_ever_on(state: Reading, boundaries: Ids) -> set[int]:
    """Return the joints that stand on some boundaries, or stood there before."""
    rows = state.ids_with(Altered, "was_boundary_id", boundaries)
    before = state.values_of(Altered, "subject_id", rows)
    return {*state.ids_with(Joint, "boundary_id", boundaries), *before}


def was_on(state: Reading, joints: Ids) -> set[int]:
    """Return the boundaries on which some joints stood before they were moved."""
    rows = altered_of(state, Joint, joints)
    found: set[int] = state.values_of(Altered, "was_boundary_id", rows)
    return found


def feeding(state: Reading, structures: Ids) -> tuple[set[int], set[int]]:
    """Return the sources that feed one of some structures, and all that these feed."""
    fed = {*structures}
    sources = {*state.ids_with(CurrentSource, "structure_id", fed)}
    for id_, source in state.filled(CurrentSource, "also_feeds").items():
        named = ids_called(state, Structure, listed(source.also_feeds))
        if id_ in sources or not fed.isdisjoint(named):
            sources.add(id_)
            fed |= {source.structure_id, *named}
    return sources, fed


def _sides(state: Reading, boundaries: Ids) -> Only:
    sources, fed = feeding(state, sides_of(state, boundaries))
    return {Structure: fed, CurrentSource: sources}


def _fed_others(state: Reading) -> set[int]:
    """Return the sources that fed something else before, wherever; they are few."""
    rows = state.ids_with(Altered, "subject", [str(Subject.SOURCE)])
    found: set[int] = state.values_of(Altered, "subject_id", rows)
    return found


def _on_joints(state: Reading, only: Only) -> Only:
    joints, boundaries = only[Joint], only[Boundary]
    devices = state.ids_with(Device, "joint_id", joints)
    lines = state.values_of(Joint, "line_id", joints)
    paths = {
        *state.ids_with(ParallelPath, "boundary_id", boundaries),
        *state.ids_with(ParallelPath, "joint_id", joints),
    }
    # A path may stand at a joint of another boundary; what happened there is beside it.
    at = {*joints, *state.values_of(ParallelPath, "joint_id", paths)}
    return {
        Alias: state.ids_with(Alias, "joint_id", joints),
        Device: devices,
        Installation: state.ids_with(Installation, "device_id", devices),
        Line: lines,
        Chainage: state.ids_with(Chainage, "line_id", lines),
        ParallelPath: paths,
        Occurrence: _happened(state, at, boundaries),
    }


def _happened(state: Reading, joints: Ids, boundaries: Ids) -> set[int]:
    """Return what happened at joints, at boundaries, or in the areas of the joints."""
    areas = state.values_of(Joint, "area", joints) - {""}
    here = {*boundaries, *state.values_of(Joint, "boundary_id", joints)}
    return {
        *state.ids_with(Occurrence, "joint_id", joints),
        *state.ids_with(Occurrence, "boundary_id", here),
        *state.ids_with(Occurrence, "area", areas),
    }


def _tests(state: Reading, only: Only) -> Only:
    """Return the tests of the part; test points and leads that they went through."""
    places = {
        "joint_id": Joint, "boundary_id": Boundary, "path_id": ParallelPath,
        "source_id": CurrentSource,
    }  # fmt: skip
    tests = {
        test
        for column, kind in places.items()
        for test in state.ids_with(IsolationTest, column, only[kind])
    }
    points = {
        *state.ids_with(TestPoint, "joint_id", only[Joint]),
        *state.values_of(IsolationTest, "test_point_id", tests),
    }
    leads = state.ids_with(Lead, "test_point_id", points, every_revision=True)
    return {IsolationTest: tests, TestPoint: points, Lead: leads}


def _cycled(state: Reading, only: Only) -> Only:
    """Return the sources that cycled while it was tested, wherever they feed.

    What they gave then tells why a shift was small.
    """
    lists = state.values_of(IsolationTest, "sources_cycling", only[IsolationTest])
    listed_names = {name for text in lists for name in listed(text)} - {NO_SOURCE}
    names = [n for n in listed_names if not n.startswith(PORTABLE)]
    sources = ids_called(state, CurrentSource, names)
    tests = state.ids_with(IsolationTest, "source_id", sources)
    return {
        CurrentSource: {*only[CurrentSource], *sources},
        IsolationTest: {*only[IsolationTest], *tests},
    }


def sides_of(state: Reading, boundaries: Ids) -> set[int]:
    """Return the structures that are a side of some boundaries."""
    return {s for name in _SIDES for s in state.values_of(Boundary, name, boundaries)}


def with_side(state: Reading, structures: set[int]) -> set[int]:
    """Return the boundaries with one of some structures on a side."""
    return {
        id_ for name in _SIDES for id_ in state.ids_with(Boundary, name, structures)
    }


def fed_together(state: Reading, structures: set[int]) -> set[int]:
    """Return structures with all that share a source with them, however far."""
    fed = structures
    while True:
        _, more = feeding(state, fed)
        if more == fed:
            return fed
        fed = more
