"""What every page builder asks of an assessment: links, signs, words of deferrals."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from jointmap.assembly import Check
from jointmap.assessment.reasons_told import deferral_told
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.findings.finding import About
from jointmap.pages.file_names import file_names
from jointmap.pages.next_steps import NextSteps
from jointmap.plain_text import own_markup
from jointmap.register import Boundary, Installation, Joint
from jointmap.register.codes import LEFT_DUTY, DueState, Subject, Verdict
from jointmap.reports.views import Frame, Link, Sign
from jointmap.site_map.data import MapLine
from jointmap.site_map.glyph import glyph
from jointmap.snapshot.fittings import Fittings, fittings_in
from jointmap.snapshot.lines_drawn import map_lines
from jointmap.snapshot.names.things_called import names_alike
from jointmap.wording import say, say_told

GLYPH_PX = 22
SMALL_GLYPH_PX = 16


@dataclass(frozen=True)
class Showing(SiteOnDay):
    """A site on a day with the frame of its pages, its links and its signs."""

    frame: Frame

    @cached_property
    def next_steps(self) -> NextSteps:
        """What is to be done next for each joint, path and boundary."""
        return NextSteps(self)

    def not_proved(self, subject: Subject, id_: int) -> str:
        """Return that a repair is not proved, beside a verdict; blank where none is.

        Of a boundary also where it is the repair of a joint on it.
        """
        about = [About.of(subject.code, id_)]
        if subject is Subject.BOUNDARY:
            about += map(About.joint, self.state.ids_of(Joint, "boundary_id", id_))
        is_open = any(one in self.next_steps.unproved for one in about)
        return say("verdict.repair_not_proved") if is_open else ""

    def _not_there(self, id_: int) -> str:
        """Return that a joint keeps nothing apart any more; blank of all others."""
        joint = self.joints[id_]
        if joint.state not in LEFT_DUTY:
            return ""
        since = joint.out_of_duty_on
        facts = {"state": joint.state, "day": since}
        return say("verdict.not_there" if since else "verdict.not_there_ever", facts)

    @cached_property
    def boundary_names(self) -> Mapping[int, tuple[str, ...]]:
        """The names that each boundary has and had, today's first."""
        names = {id_: (b.name,) for id_, b in self.boundaries.items()}
        for name, id_ in self.state.older_names(Boundary).items():
            names[id_] = (*names.get(id_, ()), name)
        return names

    def joint_names(self, id_: int) -> tuple[str, ...]:
        """Return the names that a joint has and had, today's first."""
        older = self.state.older_tags.get(id_, ())
        return self.joints[id_].tag, *(a.name for a in older)

    @cached_property
    def lines(self) -> Mapping[int, MapLine]:
        """All lines as maps draw them, by id."""
        return map_lines(self.state)

    @cached_property
    def dossier_files(self) -> Mapping[str, str]:
        """The file stem of each joint's dossier, by tag."""
        tags = (j.tag for j in self.joints.values())
        return file_names(names_alike(self.state, Joint, "tag", tags))

    @cached_property
    def boundary_files(self) -> Mapping[str, str]:
        """The file stem of each boundary's page, by name."""
        names = (b.name for b in self.boundaries.values())
        return file_names(names_alike(self.state, Boundary, "name", names))

    def checks_of(self, record: Installation) -> tuple[Check, ...]:
        """Return the review of a fitting record; all there are reviewed at once."""
        return self._fittings.review.of(self._fitting_rows[record])

    @cached_property
    def _fittings(self) -> Fittings:
        return fittings_in(self.state)

    @cached_property
    def _fitting_rows(self) -> Mapping[Installation, int]:
        return {record: row for row, record in enumerate(self._fittings.records)}

    def joint_link(self, id_: int) -> Link:
        """Return the link to a joint's dossier."""
        tag = self.joints[id_].tag
        return Link(tag, f"dossiers/{self.dossier_files[tag]}.html")

    def boundary_link(self, id_: int) -> Link:
        """Return the link to a boundary's page."""
        name = self.boundaries[id_].name
        return Link(name, f"boundaries/{self.boundary_files[name]}.html")

    def due_code(self, subject: Subject, id_: int) -> int:
        """Return the due state of a subject; what is on no line is not due."""
        row = self.item_rows.get((subject.code, id_))
        if row is None:
            return DueState.NOT_DUE.code
        return int(self.assessed.items.state[row])

    def due_sign(self, subject: Subject, id_: int) -> Sign:
        """Return the due state of a subject in a word."""
        return Sign(str(DueState.at(self.due_code(subject, id_))))

    def deferral(self, row: int) -> str:
        """Return how the test of a due item was put off; blank if it was not."""
        items = self.assessed.items
        who = int(items.subject[row]), int(items.subject_id[row])
        decision = self.deferrals.get(who)
        if decision is None:
            return ""
        return say_told(deferral_told(self, decision, row))

    def joint_sign(self, id_: int, size: int = SMALL_GLYPH_PX) -> Sign:
        """Return the verdict of a joint as word and glyph."""
        states = self.assessed.joints
        row = self.joint_rows[id_]
        suspect = bool(states.is_suspect[row])
        due_state = self.due_code(Subject.JOINT, id_)
        verdict = int(states.verdict[row])
        drawn = own_markup(glyph(verdict, due_state, size, suspect))
        note = self.not_proved(Subject.JOINT, id_) or self._not_there(id_)
        return Sign(str(Verdict.at(verdict)), drawn, note)


def verdict_sign(verdict: int, size: int = SMALL_GLYPH_PX) -> Sign:
    """Return a verdict code as word and glyph, without a due state."""
    drawn = own_markup(glyph(verdict, DueState.IN_TIME.code, size))
    return Sign(str(Verdict.at(verdict)), drawn)


def subject_link(showing: Showing, subject: int, id_: int) -> Link:
    """Return the link to what a due item is about."""
    if subject == Subject.JOINT:
        return showing.joint_link(id_)
    if subject == Subject.BOUNDARY:
        return showing.boundary_link(id_)
    if subject == Subject.PATH:
        path = showing.paths[id_]
        return Link(path.name, showing.boundary_link(path.boundary_id).href)
    return Link(showing.state.sources[id_].name)
