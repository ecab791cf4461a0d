"""What is to be done next for a joint, a path, a boundary: told alike on every page.

The first that holds decides: danger to people, a repair to prove, a short to find or to
end, a decision that is asked for, the next test.
"""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from jointmap.assessment.boundary_facts import causes_of, is_shorted
from jointmap.assessment.site_on_day import SiteOnDay, day_of
from jointmap.findings.ac_read import last_ac
from jointmap.findings.finding import About
from jointmap.findings.limits.of_dates import PATH_JOINING
from jointmap.findings.of_boundaries import (
    AC_OVER_LIMIT,
    NOT_FOR_TRANSFER,
    bars_transfer,
)
from jointmap.findings.unproved import unproved_repairs
from jointmap.pages.method_choice import method_for
from jointmap.register import Joint, ParallelPath
from jointmap.register.codes import DueState, PathState, Subject
from jointmap.register.rights.roles import MEANT_TO_JOIN
from jointmap.register.rule_codes import RuleShape
from jointmap.register.told import Told
from jointmap.wording import say_told

_UNTIL_TESTED = {
    DueState.PAST_LIMIT.code: "why.next_late",
    DueState.BEFORE_NEXT_USE.code: "why.next_before_use",
}


@dataclass(frozen=True)
class NextSteps:
    """The next steps of a site on a day; what decides them is looked up once."""

    site: SiteOnDay

    def of(self, subject: Subject, id_: int) -> str:
        """Return the one sentence on what is to be done next."""
        return say_told(self._beyond_test(subject, id_) or self._test(subject, id_))

    def beyond_test(self, subject: Subject, id_: int) -> str:
        """Return the same, blank where it is only the next test of this very thing."""
        return say_told(self._beyond_test(subject, id_))

    def _beyond_test(self, subject: Subject, id_: int) -> Told | None:
        if subject is Subject.JOINT:
            return self._of_joint(id_)
        if subject is Subject.PATH:
            return self._of_path(id_)
        return self._of_boundary(id_) if subject is Subject.BOUNDARY else None

    def _of_joint(self, id_: int) -> Told | None:
        boundary = self.site.joints[id_].boundary_id
        return (
            self._danger([About.joint(id_), About.boundary(boundary)])
            or self._to_prove(About.joint(id_))
            or (
                self._of_short(boundary) if self._is_suspect(boundary, id_, 0) else None
            )
            or self._to_decide(About.joint(id_))
        )

    def _of_path(self, id_: int) -> Told | None:
        path = self.site.paths[id_]
        if path.removed_on is not None:
            return Told("why.next_gone", {"tag": path.name})
        of_short = self._is_suspect(path.boundary_id, 0, id_)
        joins = self.site.path_states[id_].state is PathState.JOINING
        return (
            self._danger(
                [About.of(Subject.PATH.code, id_), About.boundary(path.boundary_id)]
            )
            or (self._of_short(path.boundary_id) if of_short else None)
            or (
                _of_finding(PATH_JOINING.id)
                if joins and path.kind not in MEANT_TO_JOIN
                else None
            )
        )

    def _of_boundary(self, id_: int) -> Told | None:
        joints = self.site.state.ids_of(Joint, "boundary_id", id_)
        own = [About.boundary(id_), *map(About.joint, joints)]
        proofs = (self._to_prove(about) for about in own)
        return (
            self._danger([*own, *self._paths(id_)])
            or next(filter(None, proofs), None)
            or self._joined(id_)
            or self._of_short(id_)
            or self._to_decide(About.boundary(id_))
            or self._first_test(id_, joints)
        )

    def _paths(self, boundary: int) -> list[About]:
        paths = self.site.state.ids_of(ParallelPath, "boundary_id", boundary)
        return [About.of(Subject.PATH.code, path) for path in paths]

    def _danger(self, places: list[About]) -> Told | None:
        if any(about in self._over_ac for about in places):
            return _of_finding(AC_OVER_LIMIT.id)
        barred = any(about in self._barred for about in places)
        return _of_finding(NOT_FOR_TRANSFER.id) if barred else None

    @cached_property
    def _over_ac(self) -> frozenset[About]:
        limit = self.site.assessed.ground.site.ac_limit_volt
        read = last_ac(self.site).items()
        return frozenset(about for about, ac in read if ac.volt >= limit)

    @cached_property
    def _barred(self) -> frozenset[About]:
        found = self.site.assessed
        ids = found.joints.joint_id[bars_transfer(found)]
        return frozenset(map(About.joint, ids.tolist()))

    def _to_prove(self, about: About) -> Told | None:
        return (
            self._test_told("why.next_prove", about) if about in self.unproved else None
        )

    @cached_property
    def unproved(self) -> Mapping[About, str]:
        """The sentence of each repair that no good test has proved, by its subject."""
        found = unproved_repairs(self.site)
        return {about: say_told(Told(f"find.{id_}", v)) for about, id_, v in found}

    def _joined(self, id_: int) -> Told | None:
        row = self.site.boundary_rows[id_]
        if not self.site.assessed.boundaries.joined_on_purpose[row]:
            return None
        return Told("why.next_joined", {"boundary": self.site.boundaries[id_].name})

    def _of_short(self, id_: int) -> Told | None:
        """Return what ends the short of a boundary; none where it is not shorted."""
        if not is_shorted(self.site, id_):
            return None
        facts = {"boundary": self.site.boundaries[id_].name}
        paths, joints = causes_of(self.site, id_), self._shorted_joints(id_)
        if paths:
            return Told("why.next_cause", facts | {"cause": paths})
        if joints:
            return Told("why.next_repair", facts | {"cause": joints})
        return Told("why.next_suspect", facts)

    def _shorted_joints(self, id_: int) -> tuple[str, ...]:
        who = self.site.assessed.suspects
        own = (who.boundary_id == id_) & who.is_cause & (who.joint_id > 0)
        return tuple(self.site.joints[j].tag for j in who.joint_id[own].tolist())

    def _is_suspect(self, boundary: int, joint: int, path: int) -> bool:
        return (boundary, joint, path) in self._suspects

    @cached_property
    def _suspects(self) -> frozenset[tuple[int, int, int]]:
        """Boundary, joint and path of each that is not ruled out where it stands."""
        who = self.site.assessed.suspects
        open_ = ~who.ruled_out & (who.boundary_id == who.through_boundary_id)
        columns = (who.boundary_id, who.joint_id, who.path_id)
        return frozenset(zip(*(c[open_].tolist() for c in columns), strict=True))

    def _to_decide(self, about: About) -> Told | None:
        until = self._undecided.get(about)
        if until is None:
            return None
        return self._test_told("why.next_decide", about, until=until)

    @cached_property
    def _undecided(self) -> Mapping[About, dt.date | None]:
        """By what a decision is asked for after a doubtful result: its last day."""
        running = self.site.running
        found, who = running.clocks, running.subjects
        rows = np.flatnonzero(found.shape == RuleShape.DECIDE_BY)
        return {
            About.of(int(who.subject[row]), int(who.subject_id[row])): day_of(until)
            for n, row, until in zip(
                rows.tolist(), found.row[rows], found.until_on[rows], strict=True
            )
            if not running.met_by(n)
        }

    def _first_test(self, id_: int, joints: list[int]) -> Told:
        """Return the test of a boundary that comes first: its own or a joint's."""
        who = [*((Subject.JOINT, j) for j in joints), (Subject.BOUNDARY, id_)]
        due = [one for one in who if (one[0].code, one[1]) in self.site.item_rows]
        if not due:
            return self._nothing_due(About.boundary(id_))
        return self._test(*min(due, key=self._last_allowed_on))

    def _last_allowed_on(self, one: tuple[Subject, int]) -> dt.date:
        """Return the last allowed day of a due thing; the last of all for none."""
        row = self.site.item_rows[one[0].code, one[1]]
        items = self.site.assessed.items
        return day_of(items.last_allowed_on[row]) or dt.date.max

    def _test(self, subject: Subject, id_: int) -> Told:
        """Return the next test of one thing: when, by which method; or why not."""
        about = About.of(subject.code, id_)
        row = self.site.item_rows.get((subject.code, id_))
        if row is None:
            return self._nothing_due(about)
        items = self.site.assessed.items
        day, due = day_of(items.last_allowed_on[row]), int(items.state[row])
        usual = "why.next_no_basis" if day is None else "why.next_test"
        return self._test_told(_UNTIL_TESTED.get(due, usual), about, day=day)

    def _nothing_due(self, about: About) -> Told:
        if about.subject == Subject.JOINT:
            state = self.site.joints[about.id].state
            return self._test_told("why.next_none", about, state=state)
        return self._test_told("why.next_none_there", about)

    def _test_told(self, id_: str, about: About, **more: object) -> Told:
        facts = {
            "tag": self._name(Subject.at(about.subject), about.id),
            "boundary": self._boundary_name(about),
            "method": method_for(self.site, about.subject, about.id),
        }
        return Told(id_, facts | more)

    def _name(self, subject: Subject, id_: int) -> str:
        own = np.array([subject.code], np.int16), np.array([id_])
        return str(self.site.names.of(*own)[0])

    def _boundary_name(self, about: About) -> str:
        if about.subject == Subject.JOINT:
            return self.site.boundaries[self.site.joints[about.id].boundary_id].name
        if about.subject == Subject.PATH:
            return self.site.boundaries[self.site.paths[about.id].boundary_id].name
        return self._name(Subject.at(about.subject), about.id)


def _of_finding(kind: str) -> Told:
    return Told("why.next_finding", {"step": Told(f"finding_next.{kind}")})
