"""Each check of a fitting record: meets, does not meet, not recorded."""

import datetime as dt

import pytest

from jointmap.assembly import CHECKS, Result, review
from jointmap.register import Device, Installation
from jointmap.register.codes import DeviceKind
from jointmap.tables.lubricant_fillers import lubricant_fillers

DAY = dt.date(2019, 5, 1)


def fitted(kind=DeviceKind.FLANGE_KIT, target=271.0, **record):
    device = Device(
        joint_id=1, fitted_on=DAY, kind=kind, torque_target_newton_metre=target
    )
    return review(device, Installation(device_id=1, installed_on=DAY, **record))


def result_of(name, **facts):
    return next(c for c in fitted(**facts) if c.name == name)


@pytest.mark.parametrize(
    ("lubricant", "result"),
    [
        ("nickel anti-seize", Result.DOES_NOT_MEET),
        ("Copper paste", Result.DOES_NOT_MEET),
        ("oil with graphite", Result.DOES_NOT_MEET),
        ("metallic paste", Result.DOES_NOT_MEET),
        ("non-metallic paste", Result.MEETS),
        ("lead-free white paste", Result.MEETS),
        ("leader oil", Result.MEETS),
        ("", Result.NOT_RECORDED),
    ],
)
def test_lubricants(lubricant, result):
    assert result_of("lubricant", lubricant=lubricant).result is result


@pytest.mark.parametrize(
    ("target", "given", "result", "because"),
    [
        (271.0, 271.0, Result.MEETS, "fitting.torque_fits"),
        (271.0, 284.0, Result.MEETS, "fitting.torque_fits"),
        (271.0, 290.0, Result.DOES_NOT_MEET, "fitting.torque_differs"),
        (271.0, 200.0, Result.DOES_NOT_MEET, "fitting.torque_unit_mix_up"),
        (200.0, 271.0, Result.DOES_NOT_MEET, "fitting.torque_unit_mix_up"),
        (None, 271.0, Result.NOT_RECORDED, "fitting.torque_not_recorded"),
        (271.0, None, Result.NOT_RECORDED, "fitting.torque_not_recorded"),
    ],
)
def test_torques(target, given, result, because):
    found = result_of("torque", target=target, torque_target_newton_metre=given)
    assert (found.result, found.because) == (result, because)


def test_tests_before_and_after():
    assert result_of("proven").result is Result.NOT_RECORDED
    given = {"tests_before": "12 studs clear", "tests_after": "12 studs clear"}
    assert result_of("proven", **given).result is Result.MEETS


def test_every_check_is_made_of_a_kit_and_none_of_a_welded_joint():
    assert [c.name for c in fitted()] == list(CHECKS)
    assert fitted(kind=DeviceKind.MONOLITHIC) == ()


def test_every_filler_has_a_source_and_a_mark():
    assert all(f.source and f.mark for f in lubricant_fillers())
