"""What every page builder asks of an assessment: names, signs, links, shown values."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple, TypeVar

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.assessment.clocks import Running, running
from jointmap.assessment.deferrals import deferral_told, deferrals_open
from jointmap.assessment.ranking import Ranked, ranked
from jointmap.assessment.section_current import Drawn, drawn
from jointmap.assessment.subject_names import SubjectNames, subject_names
from jointmap.pages.file_names import file_names
from jointmap.plain_text import own_markup
from jointmap.register import (
    Alias,
    Boundary,
    CurrentSource,
    Decision,
    Device,
    Installation,
    IsolationTest,
    Joint,
    ParallelPath,
    Person,
    Position,
    Record,
    Structure,
)
from jointmap.register.codes import (
    DueState,
    PathState,
    Subject,
    Verdict,
    code_of,
    word_of,
)
from jointmap.reports.views import Frame, Link, Sign
from jointmap.sections import paths_now
from jointmap.site_map.data import MapLine
from jointmap.site_map.glyph import glyph
from jointmap.snapshot.feeds import feeds
from jointmap.snapshot.lines import map_lines
from jointmap.storage import Revision

R = TypeVar("R", bound=Record)
GLYPH_PX = 22
SMALL_GLYPH_PX = 16


class PathFound(NamedTuple):
    """The state of a parallel path, and the day it was last looked at."""

    state: PathState
    on: dt.date | None


def _last_look(path: ParallelPath, known_on: dt.date | None) -> dt.date | None:
    """Return the day of a test, or of the record; the day it was fitted is none."""
    only_fitted = path.checked_on is None and known_on == path.fitted_on
    return None if only_fitted else known_on


@dataclass(frozen=True)
class Showing:
    """An assessment with what its pages need, each thing looked up once."""

    assessed: Assessment
    frame: Frame

    @cached_property
    def joints(self) -> Mapping[int, Joint]:
        """All joints by id."""
        return self.assessed.state.records(Joint)

    @cached_property
    def boundaries(self) -> Mapping[int, Boundary]:
        """All boundaries by id."""
        return self.assessed.state.records(Boundary)

    @cached_property
    def paths(self) -> Mapping[int, ParallelPath]:
        """All parallel paths by id."""
        return self.assessed.state.records(ParallelPath)

    @cached_property
    def names(self) -> SubjectNames:
        """What everything that may be due is called."""
        return subject_names(self.assessed)

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
        return feeds(self.assessed.state)

    @cached_property
    def path_states(self) -> Mapping[int, PathFound]:
        """What was found last of each parallel path, by its record or a later test."""
        found, columns = self.assessed, self.assessed.ground.paths
        now = paths_now(columns, found.tests, found.judgements, found.ground.on)
        rows = zip(columns.path_id.tolist(), now.state, now.known_on, strict=True)
        return {
            id_: PathFound(
                PathState(word_of(PathState, int(state))),
                _last_look(self.paths[id_], day_of(known_on)),
            )
            for id_, state, known_on in rows
        }

    @cached_property
    def drawn(self) -> Mapping[int, Drawn]:
        """What each section with a design current draws, by structure."""
        return drawn(self.assessed)

    @cached_property
    def decision_entries(self) -> Mapping[int, int]:
        """The entry in which each decision came in."""
        return self.assessed.state.first_entries(Decision)

    @cached_property
    def aliases(self) -> Mapping[int, list[Alias]]:
        """Other names of each joint."""
        found: dict[int, list[Alias]] = {}
        for alias in self.assessed.state.records(Alias).values():
            found.setdefault(alias.joint_id, []).append(alias)
        return found

    @cached_property
    def corrected(self) -> list[list[Revision]]:
        """The revisions of every record of a joint that has more than one."""
        kinds = (Joint, Device, Installation, Position, IsolationTest, Boundary)
        return [revisions for kind in kinds for revisions in self.corrected_of(kind)]

    def corrected_of(self, kind: type[Record]) -> list[list[Revision]]:
        """Return the revisions of every record of a kind that has more than one."""
        if kind not in self._corrected:
            found = by_id(self.assessed.state.corrected(kind))
            self._corrected[kind] = list(found.values())
        return self._corrected[kind]

    @cached_property
    def _corrected(self) -> dict[type[Record], list[list[Revision]]]:
        return {}

    @cached_property
    def lines(self) -> Mapping[int, MapLine]:
        """All lines as maps draw them, by id."""
        return map_lines(self.assessed.state)

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
    def dossier_files(self) -> Mapping[str, str]:
        """The file stem of each joint's dossier, by tag."""
        return file_names(j.tag for j in self.joints.values())

    @cached_property
    def boundary_files(self) -> Mapping[str, str]:
        """The file stem of each boundary's page, by name."""
        return file_names(b.name for b in self.boundaries.values())

    @cached_property
    def test_rows(self) -> Mapping[int, int]:
        """The row of each test in the test columns."""
        ids = self.assessed.tests.test_id
        return {id_: row for row, id_ in enumerate(ids.tolist())}

    def joint_link(self, id_: int) -> Link:
        """Return the link to a joint's dossier."""
        tag = self.joints[id_].tag
        return Link(tag, f"dossiers/{self.dossier_files[tag]}.html")

    def boundary_link(self, id_: int) -> Link:
        """Return the link to a boundary's page."""
        name = self.boundaries[id_].name
        return Link(name, f"boundaries/{self.boundary_files[name]}.html")

    def structure(self, id_: int) -> str:
        """Return a structure's name."""
        return self.assessed.state.records(Structure)[id_].name

    def person(self, id_: int | None) -> str:
        """Return a person's code and role."""
        if id_ is None:
            return ""
        found = self.assessed.state.records(Person)[id_]
        return f"{found.code} ({found.role})"

    def due_code(self, subject: Subject, id_: int) -> int:
        """Return the due state of a subject; what is on no line is not due."""
        row = self.item_rows.get((code_of(subject), id_))
        if row is None:
            return code_of(DueState.NOT_DUE)
        return int(self.assessed.items.state[row])

    def due_sign(self, subject: Subject, id_: int) -> Sign:
        """Return the due state of a subject in a word."""
        return Sign(str(word_of(DueState, self.due_code(subject, id_))))

    def deferral(self, row: int) -> str:
        """Return how the test of a due item was put off; blank if it was not."""
        items = self.assessed.items
        who = int(items.subject[row]), int(items.subject_id[row])
        decision = self.deferrals.get(who)
        if decision is None:
            return ""
        person = self.person(decision.person_id)
        return deferral_told(self.assessed, decision, row, person)

    def joint_sign(self, id_: int, size: int = SMALL_GLYPH_PX) -> Sign:
        """Return the verdict of a joint as word and glyph."""
        states = self.assessed.joints
        row = self.joint_rows[id_]
        suspect = bool(states.is_suspect[row])
        due_state = self.due_code(Subject.JOINT, id_)
        verdict = int(states.verdict[row])
        drawn = own_markup(glyph(verdict, due_state, size, suspect))
        return Sign(str(word_of(Verdict, verdict)), drawn)


def verdict_sign(verdict: int, size: int = SMALL_GLYPH_PX) -> Sign:
    """Return a verdict code as word and glyph, without a due state."""
    drawn = own_markup(glyph(verdict, code_of(DueState.IN_TIME), size))
    return Sign(str(word_of(Verdict, verdict)), drawn)


def day_of(value: np.datetime64) -> dt.date | None:
    """Return a plain date; None for NaT."""
    return None if np.isnat(value) else value.astype("datetime64[D]").item()


def subject_link(showing: Showing, subject: int, id_: int) -> Link:
    """Return the link to what a due item is about."""
    if subject == code_of(Subject.JOINT):
        return showing.joint_link(id_)
    if subject == code_of(Subject.BOUNDARY):
        return showing.boundary_link(id_)
    if subject == code_of(Subject.PATH):
        path = showing.paths[id_]
        return Link(path.name, showing.boundary_link(path.boundary_id).href)
    return Link(showing.assessed.state.records(CurrentSource)[id_].name)


def local_day(showing: Showing, entry: int) -> dt.date:
    """Return the day at the site on which an entry was recorded."""
    from zoneinfo import ZoneInfo

    state = showing.assessed.state
    at = state.entries[entry - 1].recorded_at
    return at.astimezone(ZoneInfo(state.site.time_zone)).date()


def by_id(revisions: Sequence[Revision]) -> dict[int, list[Revision]]:
    """Return revisions by record, oldest first."""
    found: dict[int, list[Revision]] = {}
    for revision in revisions:
        found.setdefault(revision.id, []).append(revision)
    return found
