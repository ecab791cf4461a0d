"""An assessment with what is asked of it again and again, each thing looked up once."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.assessment.clocks import Running, running
from jointmap.assessment.limits.deferrals import Named, deferrals_ever, deferrals_open
from jointmap.assessment.limits.history import LimitsEver
from jointmap.assessment.limits.legal_days import legal_days
from jointmap.assessment.ranking import Ranked, ranked
from jointmap.assessment.section_current import Drawn, drawn
from jointmap.assessment.subject_names import SubjectNames, subject_names
from jointmap.register import (
    Boundary,
    Decision,
    Device,
    Installation,
    IsolationTest,
    Joint,
    ParallelPath,
    Position,
    Rule,
)
from jointmap.register.codes import (
    Basis,
    PathState,
    Subject,
    Verdict,
)
from jointmap.register.columns import Days, Flags, Ids
from jointmap.register.revision import Revision
from jointmap.sections import (
    BOND_ON_RECORD,
    PathNow,
    bonds_joining,
    electrical_groups,
    paths_now,
)
from jointmap.snapshot.feeds import feeds
from jointmap.snapshot.snapshot import Snapshot


class PathFound(NamedTuple):
    """The state of a parallel path, and the day it was last looked at."""

    state: PathState
    on: dt.date | None


def _last_look(path: ParallelPath, known_on: dt.date | None) -> dt.date | None:
    """Return the day of a test, or of the record; the day it was fitted is none."""
    only_fitted = path.checked_on is None and known_on == path.fitted_on
    return None if only_fitted else known_on


@dataclass(frozen=True)
class SiteOnDay:
    """A site judged for a day, with names, rows and states by id."""

    assessed: Assessment

    @property
    def state(self) -> Snapshot:
        """What is on record of the site on the day."""
        return self.assessed.state

    @cached_property
    def joints(self) -> Mapping[int, Joint]:
        """All joints by id."""
        return self.state.joints

    @cached_property
    def boundaries(self) -> Mapping[int, Boundary]:
        """All boundaries by id."""
        return self.state.boundaries

    @cached_property
    def paths(self) -> Mapping[int, ParallelPath]:
        """All parallel paths by id."""
        return self.state.paths

    @cached_property
    def joined(self) -> Flags:
        """Per boundary whether metal joins its sides now: shorted or bonded.

        Not where a reading contradicts a bond: then neither is claimed.
        """
        states, paths = self.assessed.boundaries, self.assessed.ground.paths
        shorted = states.state == Verdict.SHORTED
        bonded = paths.boundary_id[bonds_joining(paths, self.paths_now)]
        unclear = states.reason == BOND_ON_RECORD
        joined: Flags = np.isin(states.boundary_id, bonded) & ~unclear
        joined |= shorted | states.joined_on_purpose
        return joined

    @cached_property
    def paths_now(self) -> PathNow:
        """What is known of each parallel path, by its record or a later test."""
        found, paths = self.assessed, self.assessed.ground.paths
        return paths_now(paths, found.tests, found.judgements, found.ground.on)

    @cached_property
    def one_metal(self) -> Ids:
        """Per structure a number that it shares with all that are one metal with it."""
        ground = self.assessed.ground
        bounds, ids = ground.boundaries, ground.structures.id
        return electrical_groups(
            ids, bounds.structure_a_id, bounds.structure_b_id, self.joined
        )

    @cached_property
    def names(self) -> SubjectNames:
        """What everything that may be due is called."""
        return subject_names(self.assessed)

    @cached_property
    def put_off(self) -> Mapping[Named, list[Decision]]:
        """Every deferral of what may be due, by the day of its decision."""
        return deferrals_ever(self.assessed)

    @cached_property
    def legal_on(self) -> Days:
        """The earliest last allowed day by law of each due item."""
        return legal_days(self.assessed)

    @cached_property
    def behind_on(self) -> Days:
        """The same where something else governs; NaT where the law itself does."""
        is_law = self.assessed.items.basis == Basis.LAW.code
        days: Days = np.where(is_law, np.datetime64("NaT", "D"), self.legal_on)
        return days

    @cached_property
    def limits(self) -> LimitsEver:
        """Every limit that ran up to the day, as it stood then."""
        return LimitsEver.of_all(self.assessed)

    @cached_property
    def ranked(self) -> Ranked:
        """The chances of all suspects."""
        return ranked(self.assessed)

    @cached_property
    def running(self) -> Running:
        """The clocks that run after bad results."""
        return running(self.assessed)

    @cached_property
    def deferrals(self) -> Mapping[tuple[int, int], Decision]:
        """The deferral that stands for each (subject code, id), if one does."""
        return deferrals_open(self.assessed)

    @cached_property
    def fed(self) -> Mapping[int, tuple[int, ...]]:
        """The structures that each source feeds."""
        return feeds(self.state)

    @cached_property
    def path_states(self) -> Mapping[int, PathFound]:
        """What was found last of each parallel path, by its record or a later test."""
        columns, now = self.assessed.ground.paths, self.paths_now
        rows = zip(columns.path_id.tolist(), now.state, now.known_on, strict=True)
        return {
            id_: PathFound(
                PathState(PathState.at(int(state))),
                _last_look(self.paths[id_], day_of(known_on)),
            )
            for id_, state, known_on in rows
        }

    @cached_property
    def drawn(self) -> Mapping[int, Drawn]:
        """What each section with a design current draws, by structure."""
        return drawn(self.assessed)

    @cached_property
    def corrected_of_joints(self) -> Mapping[int, list[list[Revision]]]:
        """By joint the revisions of every record of it that has more than one."""
        found: dict[int, list[list[Revision]]] = {}
        for kind in (Joint, Device, Installation, Position, IsolationTest):
            for revisions in self.state.corrected_of(kind):
                joint_id = self._joint_of(revisions[-1])
                if joint_id is not None:
                    found.setdefault(joint_id, []).append(revisions)
        return found

    def _joint_of(self, revision: Revision) -> int | None:
        """Return the joint that a record belongs to, if it is one's."""
        record = revision.record
        if isinstance(record, Joint):
            return revision.id
        if isinstance(record, Position):
            return record.subject_id if record.subject is Subject.JOINT else None
        if isinstance(record, Installation):
            devices = self.state.devices
            return devices[record.device_id].joint_id
        found: int | None = getattr(record, "joint_id", None)
        return found

    @cached_property
    def joint_rows(self) -> Mapping[int, int]:
        """The row of each joint in the joint columns."""
        ids = self.assessed.ground.joints.joint_id
        return {id_: row for row, id_ in enumerate(ids.tolist())}

    @cached_property
    def boundary_rows(self) -> Mapping[int, int]:
        """The row of each boundary in the boundary states."""
        ids = self.assessed.boundaries.boundary_id
        return {id_: row for row, id_ in enumerate(ids.tolist())}

    @cached_property
    def item_rows(self) -> Mapping[tuple[int, int], int]:
        """The row in the due items of each (subject code, id)."""
        items = self.assessed.items
        pairs = zip(items.subject.tolist(), items.subject_id.tolist(), strict=True)
        return {pair: row for row, pair in enumerate(pairs)}

    @cached_property
    def test_rows(self) -> Mapping[int, int]:
        """The row of each test in the test columns."""
        ids = self.assessed.tests.test_id
        return {id_: row for row, id_ in enumerate(ids.tolist())}

    def structure(self, id_: int) -> str:
        """Return a structure's name."""
        return self.state.structures[id_].name

    def person(self, id_: int | None) -> str:
        """Return a person's code and role."""
        if id_ is None:
            return ""
        found = self.state.people[id_]
        return f"{found.code} ({found.role})"

    def rule(self, id_: int) -> Rule:
        """Return a rule in force by its id."""
        return self.state.rules[id_]


def day_of(value: np.datetime64) -> dt.date | None:
    """Return a plain date; None for NaT."""
    return None if np.isnat(value) else value.astype("datetime64[D]").item()
