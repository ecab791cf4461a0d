"""The catalogue of what comes to join boundaries and of the checks that tell."""

from jointmap.acceptance import REASONS
from jointmap.register.codes import DeviceKind, Mark, PathKind
from jointmap.sections import SUSPECT_REASONS
from jointmap.tables import METHOD_CODES
from jointmap.tables.electrodes import ELECTRODES
from jointmap.tables.suspecting import (
    FAULT_CHECKS,
    NONE_OF_THESE,
    NOT_KNOWN,
    SUSPECT_FINDINGS,
    SUSPECT_KINDS,
)

KINDS = {*map(str, DeviceKind), *map(str, PathKind), NONE_OF_THESE, NOT_KNOWN}


def test_every_kind_has_a_rate_and_a_check_and_every_finding_its_weight():
    assert set(SUSPECT_KINDS) == KINDS == {c.kind for c in FAULT_CHECKS}
    assert set(SUSPECT_FINDINGS) == set(SUSPECT_REASONS)
    assert REASONS


def test_chances_are_chances():
    for kind in SUSPECT_KINDS.values():
        assert 0 < kind.per_year < 1
        assert 0 <= kind.at_once < 1
        assert kind.weight_years >= 0
    for check in FAULT_CHECKS:
        assert 0 < check.false_alarm < check.catches < 1
        assert check.minutes > 0
        assert check.method in METHOD_CODES
        assert {check.inside_kit, check.lifts_protection} <= {"yes", "no"}
        # The order of fault-finding: inside the kit comes last.
        assert (check.inside_kit == "yes") == (check.step >= 5)


def test_every_row_has_its_mark():
    rows = [*SUSPECT_KINDS.values(), *FAULT_CHECKS, *SUSPECT_FINDINGS.values()]
    assert {r.mark for r in [*rows, *ELECTRODES.values()]} <= set(Mark)
    assert all(r.citation for r in rows)
