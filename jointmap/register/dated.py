"""What dates each kind of record, and how its values read on an earlier day.

What happened after a day was not there on it, and an end that came after it reads as
none. What was agreed when a thing began (the end of a certificate, a qualification, a
permission, a deferral) was known from the first and stays.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from jointmap.register.codes import DecisionKind, JointState, PathState

# What is recorded more days than this after it happened is told to be late (judgement).
LATE_DAYS = 90


@dataclass(frozen=True, slots=True)
class Then:
    """How a value reads on a day before the one in the column ``after``."""

    after: str
    value: str | None = None


@dataclass(frozen=True, slots=True)
class Dated:
    """The column that dates a kind, or that none does; values that a later day made."""

    there_from: str | None = None  # a later day than asked about: no such record
    then: Mapping[str, Then] = field(default_factory=lambda: MappingProxyType({}))
    # A column and a word in it: such a record tells what is known, on every day.
    always: tuple[str, str] | None = None


def _ends(name: str) -> dict[str, Then]:
    return {name: Then(name)}


_ALWAYS = Dated()
_PERMITTED = ("joined_from_on", "joined_until_on")

DATED: dict[str, Dated] = {
    "site": _ALWAYS,
    "person": _ALWAYS,
    "qualification": Dated("valid_from_on"),
    "instrument": _ALWAYS,
    "certificate": Dated("valid_from_on"),
    "line": _ALWAYS,
    "chainage": Dated("measured_on"),
    "structure": _ALWAYS,
    "source": _ALWAYS,
    "boundary": Dated(
        then={
            "joined_by": Then("joined_from_on", ""),
            **{name: Then("joined_from_on") for name in _PERMITTED},
        }
    ),
    # When a joint came is told by its day in duty and by its devices; it is on the map
    # before. What ended its duty later had not yet.
    "joint": Dated(
        then={
            "state": Then("out_of_duty_on", str(JointState.IN_DUTY)),
            **_ends("out_of_duty_on"),
        }
    ),
    "alias": Dated("from_on", _ends("until_on")),
    "test_point": _ALWAYS,
    "lead": Dated("proved_on"),
    "device": Dated("fitted_on", _ends("removed_on")),
    "installation": Dated("installed_on"),
    "path": Dated(
        "fitted_on",
        {
            "state": Then("checked_on", str(PathState.NOT_KNOWN)),
            **_ends("checked_on"),
            **_ends("removed_on"),
        },
    ),
    "occurrence": Dated("happened_on"),
    "crew": _ALWAYS,
    "day_off": _ALWAYS,  # agreed beforehand
    "road": _ALWAYS,
    # Where a thing stands is not what was measured: the newest survey says it best.
    "position": _ALWAYS,
    # What it tells of is read from the day on which something else began to hold.
    "altered": Dated("until_on"),
    "test": Dated("tested_on"),
    "rule": Dated("from_on", _ends("until_on")),
    "limit": Dated("from_on", _ends("until_on")),
    "model": Dated("from_on"),
    # That an entry was seen closes a finding about it, which follows what is known.
    "decision": Dated("decided_on", always=("kind", str(DecisionKind.SEEN))),
    "attachment": _ALWAYS,
    "photo_place": _ALWAYS,
    "held": Dated("sent_on"),
}
