"""What a judged state cannot answer yet, counted: what whoever loads should send next.

It is taken from an assessment that was made for another reason and reads no rows of
its own but the people. Counted are the joints that were touched.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.register.codes import LEFT_DUTY, DueState, Outcome, Subject, Verdict
from jointmap.register.paper_states import lets_count
from jointmap.register.rights.roles import Role
from jointmap.register.told import Told
from jointmap.snapshot.snapshot import Snapshot
from jointmap.snapshot.touched import Touched

_TESTERS = (Role.TECHNICIAN, Role.CONTRACTOR, Role.INSPECTOR)


@dataclass(frozen=True, slots=True)
class Unanswered:
    """How many joints were looked at, and what of them cannot be answered."""

    joints: int
    told: tuple[Told, ...]

    @property
    def lacks_rules(self) -> bool:
        """Whether nothing at all has a date for want of a rule."""
        return any(told.id == "unanswered.no_rule" for told in self.told)


def unanswered(found: Assessment, state: Snapshot, about: Touched) -> Unanswered:
    """Return what is not answered of the joints that were touched.

    ``found`` may be of a part, in which other joints stand with less than all of them;
    ``state`` is that of the site.
    """
    over, joints = [word.code for word in LEFT_DUTY], found.ground.joints
    own = np.isin(joints.joint_id, about.joints)
    own |= np.isin(joints.boundary_id, about.boundaries)
    own &= ~np.isin(joints.state, over)
    count = int(np.count_nonzero(own))
    counted = (
        *_of_site(found, state),
        *_of_joints(found, own, count),
        *_of_papers(found, own),
    )
    return Unanswered(count, counted)


def _of_site(found: Assessment, state: Snapshot) -> Iterator[Told]:
    """Yield what the site has none of; without it nobody's question is answered."""
    if not len(found.ground.rules):
        yield Told("unanswered.no_rule", {})
    if not len(found.ground.limits):
        yield Told("unanswered.no_limit", {})
    roles = {person.role for person in state.people.values()}
    if roles.isdisjoint(_TESTERS):
        yield Told("unanswered.no_tester", {"roles": tuple(map(str, _TESTERS))})


def _of_papers(found: Assessment, own: np.ndarray) -> Iterator[Told]:
    """Yield how many readings of the joints and their boundaries lack a paper."""
    tests, joints = found.tests, found.ground.joints
    here = np.isin(tests.joint_id, joints.joint_id[own])
    here |= np.isin(tests.boundary_id, joints.boundary_id[own])
    here &= tests.outcome == Outcome.MEASURED
    idle = here & ~(lets_count(tests.person_paper) & lets_count(tests.instrument_paper))
    count, of = (int(np.count_nonzero(rows)) for rows in (idle, here))
    if count:
        yield Told("unanswered.no_paper", {"count": count, "of": of})


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
    items = found.items
    mine = items.subject == Subject.JOINT
    mine &= np.isin(items.subject_id, joints.joint_id[own])
    undated = mine & (items.state == DueState.NO_BASIS)
    if len(found.ground.rules) and undated.any():
        facts = {"count": int(np.count_nonzero(undated)), "of": of}
        yield Told("unanswered.no_date", facts)
