"""What the answers about a few joints hang on, found by indexes: a part of a state.

A part is read like the whole; it holds every record of the boundaries of the joints
asked about, of all joints on these, and what those refer to. What is told of the whole
site is not in it: see ``jointmap.assessment.whole_site``.
"""

from collections.abc import Collection, Iterable, Mapping
from typing import Any

import numpy.typing as npt

from jointmap.register import (
    Alias,
    Attachment,
    Boundary,
    Certificate,
    Chainage,
    CurrentSource,
    Decision,
    Device,
    Held,
    Installation,
    Instrument,
    IsolationTest,
    Joint,
    Lead,
    Line,
    Occurrence,
    ParallelPath,
    Person,
    PhotoPlace,
    Position,
    Qualification,
    Record,
    Structure,
    TestPoint,
    form_of,
)
from jointmap.register.codes import KIND_OF_SUBJECT
from jointmap.snapshot.feeds import listed
from jointmap.snapshot.older_names import older_names
from jointmap.storage import Reading
from jointmap.storage.arrays import read_arrays
from jointmap.storage.within import Only

Array = npt.NDArray[Any]
Ids = Collection[int]
_REFER = (IsolationTest, Installation, Decision)  # to persons and instruments


def part_of(state: Reading, joints: Iterable[int], boundaries: Ids = ()) -> Reading:
    """Return a state with only what the answers about some joints hang on.

    ``boundaries`` are further boundaries asked about. All joints of a boundary belong
    to it: the worst place speaks for the whole.
    """
    own = {*boundaries, *state.values_of(Joint, "boundary_id", [*joints])}
    only: Only = {Boundary: own, Joint: state.ids_with(Joint, "boundary_id", own)}
    only |= _sides(state, own)
    only |= _on_joints(state, only)
    only |= _tests(state, only)
    only |= _told(state, only)
    only |= _referred(state, only)
    return state.part(only)


def part_touched(state: Reading, joints: Ids, boundaries: Ids) -> Reading:
    """Return the part of some joints and boundaries with all that came in last."""
    only = part_of(state, joints, boundaries).only
    return state.part({kind: {*ids, *_last(state, kind)} for kind, ids in only.items()})


def _last(state: Reading, kind: type[Record]) -> set[int]:
    return {row[0] for row in state.written_last(kind, ("id",))}


def _sides(state: Reading, boundaries: Ids) -> Only:
    """Return the structures of boundaries, and every source that feeds one of them."""
    names = ("structure_a_id", "structure_b_id")
    sides = {s for n in names for s in state.values_of(Boundary, n, boundaries)}
    sources = {*state.ids_with(CurrentSource, "structure_id", sides)}
    for id_, source in state.filled(CurrentSource, "also_feeds").items():
        named = _structures(state, listed(source.also_feeds))
        if sides.intersection(named):
            sources.add(id_)
            sides |= {source.structure_id, *named}
    return {Structure: sides, CurrentSource: sources}


def _structures(state: Reading, names: Collection[str]) -> list[int]:
    """Return the structures that have these names, or had one that none has now."""
    found = state.ids_with(Structure, "name", names)
    if len(found) == len(names):
        return found
    return state.ids_with(Structure, "name", names, every_revision=True)


def _on_joints(state: Reading, only: Only) -> Only:
    joints, boundaries = only[Joint], only[Boundary]
    devices = state.ids_with(Device, "joint_id", joints)
    lines = state.values_of(Joint, "line_id", joints)
    paths = {
        *state.ids_with(ParallelPath, "boundary_id", boundaries),
        *state.ids_with(ParallelPath, "joint_id", joints),
    }
    areas = state.values_of(Joint, "area", joints) - {""}
    happened = {
        *state.ids_with(Occurrence, "joint_id", joints),
        *state.ids_with(Occurrence, "boundary_id", boundaries),
        *state.ids_with(Occurrence, "area", areas),
    }
    return {
        Alias: state.ids_with(Alias, "joint_id", joints),
        Device: devices,
        Installation: state.ids_with(Installation, "device_id", devices),
        Line: lines,
        Chainage: state.ids_with(Chainage, "line_id", lines),
        ParallelPath: paths,
        Occurrence: happened,
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


def _told(state: Reading, only: Only) -> Only:
    """Return positions, and what was decided, held or attached under a name."""
    names = _names(state, only)
    decisions = read_arrays(state, Decision, ["subject_key"])
    held = read_arrays(state, Held, ["subject_key"])
    attached = read_arrays(state, Attachment, ["subject_key"])
    files = _of_names(attached, names)
    hashes = state.values_of(Attachment, "sha256", files)
    return {
        Position: _positions(state, only),
        Decision: _of_names(decisions, names),
        Held: _of_names(held, names),
        Attachment: files,
        PhotoPlace: state.ids_with(PhotoPlace, "sha256", hashes),
    }


def _names(state: Reading, only: Only) -> set[str]:
    named: dict[type[Record], str] = {
        Joint: "tag", Alias: "name", Boundary: "name", ParallelPath: "name",
        CurrentSource: "name",
    }  # fmt: skip
    now = {
        str(name).lower()
        for kind, column in named.items()
        for name in state.values_of(kind, column, only[kind])
    }
    part = state.part(only)
    return now.union(
        name.lower()
        for kind in (Boundary, ParallelPath, CurrentSource)
        for name in older_names(part, kind)
    )


def _of_names(found: Mapping[str, Array], names: set[str]) -> set[int]:
    """Return the records whose key is a name, or holds one as a word of its own."""
    keys, ids = found["subject_key"].tolist(), found["id"].tolist()
    return {
        id_
        for id_, key in zip(ids, keys, strict=True)
        if not names.isdisjoint({key.strip().lower(), *key.lower().split()})
    }


def _positions(state: Reading, only: Only) -> set[int]:
    kinds = {kind.KIND: ids for kind, ids in only.items()}
    return {
        id_
        for subject, kind in KIND_OF_SUBJECT.items()
        for id_ in state.ids_with(
            Position, "subject_id", kinds.get(kind, ()), subject=str(subject)
        )
    }


def _referred(state: Reading, only: Only) -> Only:
    """Return the persons and instruments that the part refers to, with their papers."""
    found: dict[str, set[int]] = {"person": set(), "instrument": set()}
    for kind in _REFER:
        for column in form_of(kind).columns:
            if column.refers in found:
                ids = state.values_of(kind, column.name, only[kind])
                found[column.refers] |= ids
    persons, instruments = found["person"], found["instrument"]
    return {
        Person: persons,
        Qualification: state.ids_with(Qualification, "person_id", persons),
        Instrument: instruments,
        Certificate: state.ids_with(Certificate, "instrument_id", instruments),
    }
