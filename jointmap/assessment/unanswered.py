"""What a judged state cannot answer yet, counted: what whoever loads should send next.

It is taken from an assessment that was made for another reason and reads no rows of
its own but the people. Of a part of a site only the joints of that part are counted.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.register import Person
from jointmap.register.codes import DueState, JointState, Verdict
from jointmap.register.rights.roles import Role
from jointmap.register.told import Told
from jointmap.storage import Reading

_TESTERS = (Role.TECHNICIAN, Role.CONTRACTOR, Role.INSPECTOR)
_OVER = (JointState.OUT_OF_DUTY, JointState.REMOVED)


@dataclass(frozen=True, slots=True)
class Unanswered:
    """How many joints were looked at, and what of them cannot be answered."""

    joints: int
    told: tuple[Told, ...]

    @property
    def lacks_rules(self) -> bool:
        """Whether nothing at all has a date for want of a rule."""
        return any(told.id == "unanswered.no_rule" for told in self.told)


def unanswered(found: Assessment, state: Reading) -> Unanswered:
    """Return what is not answered of an assessment; ``state`` is that of the site."""
    over = [word.code for word in _OVER]
    own = ~np.isin(found.ground.joints.state, over)
    count = int(np.count_nonzero(own))
    counted = (*_of_site(found, state), *_of_joints(found, own, count))
    return Unanswered(count, counted)


def _of_site(found: Assessment, state: Reading) -> Iterator[Told]:
    """Yield what the site has none of; without it nobody's question is answered."""
    if not len(found.ground.rules):
        yield Told("unanswered.no_rule", {})
    if not len(found.ground.limits):
        yield Told("unanswered.no_limit", {})
    roles = {person.role for person in state.records(Person).values()}
    if roles.isdisjoint(_TESTERS):
        yield Told("unanswered.no_tester", {"roles": tuple(map(str, _TESTERS))})


def _of_joints(found: Assessment, own: np.ndarray, of: int) -> Iterator[Told]:
    joints = found.ground.joints
    counts = {
        "no_test": own & (found.joints.verdict == Verdict.NOT_TESTED),
        "no_device": own & (joints.device_id == 0),
        "no_place": own & np.isnan(joints.latitude_deg),
    }
    for name, rows in counts.items():
        count = int(np.count_nonzero(rows))
        if count:
            yield Told(f"unanswered.{name}", {"count": count, "of": of})
    undated = found.items.state == DueState.NO_BASIS
    if len(found.ground.rules) and undated.any():
        facts = {"count": int(np.count_nonzero(undated)), "of": len(found.items)}
        yield Told("unanswered.no_date", facts)
