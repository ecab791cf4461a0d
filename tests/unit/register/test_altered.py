"""What a record was until it was altered: written down, and read back."""

import datetime as dt
from dataclasses import replace

import pytest

from jointmap.errors import Refused
from jointmap.register import Altered, CurrentSource, Joint, form_of
from jointmap.register.altered import alterations, as_it_was, value_was
from jointmap.register.codes import JointState, Severity, Subject

DAY = dt.timedelta(days=1)
MAY, JUNE = dt.date(2026, 5, 1), dt.date(2026, 6, 1)
JOINT = Joint(
    tag="J-1", boundary_id=1, area="", state=JointState.IN_DUTY, temperature_degc=1e-7
)
MOVED = replace(
    JOINT,
    boundary_id=2,
    state=JointState.OUT_OF_DUTY,
    out_of_duty_on=MAY,
    severity=Severity.HARSH,
    temperature_degc=40.0,
    is_buried=True,
    fluid="brine",
    remark="not a fact that is altered",
)


def test_each_fact_that_is_another_is_kept_as_it_was():
    rows = [*alterations(7, JOINT, MOVED, MAY)]
    held = {(r.column, r.was, r.was_boundary_id) for r in rows}
    assert held == {
        ("boundary_id", None, 1),
        ("state", "in duty", None),
        ("out_of_duty_on", None, None),
        ("severity", None, None),
        ("temperature_degc", "1e-07", None),
        ("is_buried", "no", None),
        ("fluid", "", None),
    }
    assert {(r.subject, r.subject_id, r.until_on) for r in rows} == {
        (Subject.JOINT, 7, MAY)
    }
    then = replace(JOINT, remark=MOVED.remark)
    assert as_it_was(MOVED, rows, MAY - DAY) == then
    assert as_it_was(MOVED, rows, MAY) is MOVED
    assert as_it_was(MOVED, [], MAY - DAY) is MOVED


def test_of_two_alterations_the_first_after_the_day_tells():
    last = replace(MOVED, boundary_id=3, is_buried=False, out_of_duty_on=None)
    rows = [*alterations(7, MOVED, last, JUNE), *alterations(7, JOINT, MOVED, MAY)]
    found = [as_it_was(last, rows, on) for on in (MAY - DAY, MAY, JUNE - DAY, JUNE)]
    assert [joint.boundary_id for joint in found] == [1, 2, 2, 3]
    assert [joint.is_buried for joint in found] == [False, True, True, False]
    assert [joint.out_of_duty_on for joint in found] == [None, MAY, MAY, None]


def test_what_a_source_fed():
    source = CurrentSource(
        name="R", structure_id=1, kind="anodes", can_be_interrupted=True
    )
    other = replace(source, structure_id=2, can_be_interrupted=False)
    rows = [*alterations(1, source, other, MAY)]
    assert [(r.column, r.was, r.was_structure_id) for r in rows] == [
        ("structure_id", None, 1),
        ("can_be_interrupted", "yes", None),
    ]
    assert as_it_was(other, rows, MAY - DAY) == source


@pytest.mark.parametrize(
    ("name", "was", "value"),
    [
        ("is_buried", "yes", True),
        ("is_buried", "no", False),
        ("out_of_duty_on", "2026-05-01", MAY),
        ("out_of_duty_on", None, None),
        ("pressure_pascal", "8500000.0", 8.5e6),
        ("severity", "harsh", Severity.HARSH),
        ("fluid", "", ""),
    ],
)
def test_a_text_is_the_value_that_it_was(name, was, value):
    (column,) = (c for c in form_of(Joint).columns if c.name == name)
    assert value_was(column, was) == value


@pytest.mark.parametrize(
    ("subject", "column"),
    [(Subject.JOINT, "tag"), (Subject.BOUNDARY, "is_buried"), (Subject.CREW, "name")],
)
def test_what_holds_for_life_has_no_day(subject, column):
    with pytest.raises(Refused) as refused:
        Altered(subject=subject, subject_id=1, column=column, until_on=MAY)
    assert [p.id for p in refused.value.problems] == ["altered.column"]
