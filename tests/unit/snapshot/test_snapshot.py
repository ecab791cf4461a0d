"""A snapshot reads each kind once, when it is first asked for, and has indexes."""

import datetime as dt
from types import SimpleNamespace

import pytest

from jointmap.register import RECORDS, Alias, Device, Joint, Lead, Site
from jointmap.register.codes import DeviceKind, JointState
from jointmap.snapshot.snapshot import Snapshot, grouped

# The site is one record, and of a lead every finding counts.
NOT_BY_NAME = {Site, Lead}
NAMES = {
    each.kind: name for name, each in vars(Snapshot).items() if hasattr(each, "kind")
}
FITTED = dt.date(2020, 1, 1)


def joint(tag, boundary_id, area):
    own = {"tag": tag, "boundary_id": boundary_id, "area": area}
    return Joint(**own, state=JointState.IN_DUTY)


HELD = {
    Joint: {
        1: joint("A", 1, "north"),
        2: joint("B", 1, "south"),
        3: joint("C", 2, "north"),
    },
    Alias: {
        7: Alias(joint_id=2, name="OLD"),
        8: Alias(joint_id=2, name="A"),  # a tag comes before an older name
    },
    Device: {4: Device(joint_id=1, kind=DeviceKind.FLANGE_KIT, fitted_on=FITTED)},
}


@pytest.fixture
def asked():
    """A snapshot of these records, and the kinds that were read for it, in order."""
    read = []

    def records(kind):
        read.append(kind)
        return HELD.get(kind, {})

    return Snapshot(SimpleNamespace(records=records, on=None)), read


def test_every_kind_has_a_name():
    assert {*NAMES} == {*RECORDS} - NOT_BY_NAME


@pytest.mark.parametrize("kind", NAMES, ids=lambda kind: kind.KIND)
def test_a_kind_is_read_once_and_only_when_it_is_asked_for(asked, kind):
    state, read = asked
    assert read == []
    for _ in range(2):
        assert getattr(state, NAMES[kind]) == HELD.get(kind, {})
    assert read == [kind]


def test_records_are_found_by_the_value_of_a_column(asked):
    state, _ = asked
    assert state.ids_of(Joint, "area", "north") == [1, 3]
    assert state.ids_of(Joint, "area", "west") == []
    assert state.records_of(Joint, "boundary_id", 2) == [(3, HELD[Joint][3])]


def test_a_joint_is_found_by_its_tag_before_an_older_name(asked):
    state, _ = asked
    assert state.joint_ids == {"A": 1, "B": 2, "C": 3, "OLD": 2}
    assert [a.name for a in state.older_tags[2]] == ["OLD", "A"]


def test_what_is_known_of_whatever_day_is_itself_where_no_day_was_asked(asked):
    state, _ = asked
    assert state.known is state


def test_pairs_are_grouped_in_the_order_given():
    assert grouped(iter([("b", 1), ("a", 2), ("b", 3)])) == {"b": [1, 3], "a": [2]}
