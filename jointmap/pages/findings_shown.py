"""Findings as pages show them: each with its link and its sentence."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from jointmap.assessment.boundary_facts import is_shorted
from jointmap.findings.finder import Finder
from jointmap.findings.finding import About, Found
from jointmap.findings.of_boundaries import AC_OVER_LIMIT, REPAIR_NOT_PROVED
from jointmap.pages.showing import Showing, subject_link
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text.shown import Column, Row, Table, Title
from jointmap.register import Joint, ParallelPath
from jointmap.register.codes import Subject
from jointmap.reports.finding_groups import by_gravity, by_kind
from jointmap.reports.views import Finding, Link
from jointmap.wording import say, say_told

# The columns of findings as CSV.
HEADING = ("gravity", "kind", "subject", "on", "because", "next_step", "source")
CLUSTER = "cluster"
# What is found of a joint or a path and concerns its boundary as well.
_OF_THE_BOUNDARY = {AC_OVER_LIMIT.id, REPAIR_NOT_PROVED.id}


@dataclass(frozen=True)
class ShownFindings:
    """Every finding of a site, in one order, and those of one thing."""

    showing: Showing
    found: tuple[Found, ...]
    all: tuple[Finding, ...]

    def of(self, link: Link) -> list[Finding]:
        """Return what was found of one thing itself."""
        return [self.all[n] for n in self._rows.get(link, [])]

    def concerning(self, things: Iterable[About]) -> list[Finding]:
        """Return what concerns any of some joints, paths, boundaries.

        That is what was found of it, of its boundary, of the joint that a path goes
        around, of repairs and of AC at what a boundary is made of; of a shorted
        boundary also the cluster that it is part of.
        """
        rows = {n for thing in things for n in self._concerning(thing)}
        return [self.all[n] for n in sorted(rows)]

    def told_of(self, thing: About) -> list[str]:
        """Return the sentences of what concerns one thing, other subjects named."""
        own = link_to(self.showing, thing)
        return [
            f.sentence
            if f.subject == own
            else say(
                "findings.of_another", {"name": f.subject.text, "told": f.sentence}
            )
            for f in self.concerning([thing])
        ]

    def _concerning(self, thing: About) -> Iterator[int]:
        showing, id_ = self.showing, thing.id
        yield from self._rows.get(link_to(showing, thing), [])
        if thing.subject == Subject.JOINT:
            yield from self._concerning(About.boundary(showing.joints[id_].boundary_id))
        elif thing.subject == Subject.PATH:
            path = showing.paths[id_]
            if path.joint_id:
                yield from self._rows.get(showing.joint_link(path.joint_id), [])
            yield from self._concerning(About.boundary(path.boundary_id))
        elif thing.subject == Subject.BOUNDARY:
            yield from self._of_parts(id_)
            yield from self._of_clusters(id_)

    def _of_parts(self, id_: int) -> Iterator[int]:
        """Yield what is told of a joint or a path and is of its boundary as well."""
        showing = self.showing
        joints = showing.state.ids_of(Joint, "boundary_id", id_)
        paths = showing.state.ids_of(ParallelPath, "boundary_id", id_)
        parts = [*map(About.joint, joints)]
        parts += [About.of(Subject.PATH.code, path) for path in paths]
        for part in parts:
            rows = self._rows.get(link_to(showing, part), [])
            yield from (n for n in rows if self.all[n].kind in _OF_THE_BOUNDARY)

    def _of_clusters(self, id_: int) -> Iterator[int]:
        if not is_shorted(self.showing, id_):
            return
        own = self.showing.state.records_of(Joint, "boundary_id", id_)
        for area in {joint.area for _, joint in own}:
            rows = self._rows.get(Link(area), [])
            yield from (n for n in rows if self.all[n].kind == CLUSTER)

    @cached_property
    def _rows(self) -> dict[Link, list[int]]:
        found: dict[Link, list[int]] = {}
        for row, finding in enumerate(self.all):
            found.setdefault(finding.subject, []).append(row)
        return found


def shown_findings(
    showing: Showing, tests: ShownTests, finders: Sequence[Finder] | None = None
) -> ShownFindings:
    """Return every finding of a site as pages show it, or those of some finders."""
    # Short answers show the findings of one finder; all of them are slow to load.
    from jointmap.findings.every_finding import ALL_FINDERS, all_findings

    found = all_findings(showing, tests, ALL_FINDERS if finders is None else finders)
    return ShownFindings(showing, found, tuple(shown(showing, f) for f in found))


def shown(showing: Showing, found: Found) -> Finding:
    """Return one finding with its link, its sentence and its next step."""
    return Finding(
        kind=found.kind.id,
        gravity=found.kind.gravity.name.lower(),
        subject=link_to(showing, found.about),
        sentence=say_told(found.told) + say_told(found.more),
        next_step=say(f"finding_next.{found.kind.id}"),
        source=found.source or say(f"finding_source.{found.kind.source}"),
        on=found.on,
    )


def link_to(showing: Showing, about: About) -> Link:
    """Return the link to what a finding is about; a name only where it has no page."""
    if about.subject < 0:
        return Link(about.name)
    return subject_link(showing, about.subject, about.id)


def rows_of(
    findings: Iterable[Finding], heading: str = "terminal.found"
) -> Iterator[Row]:
    """Yield findings for a person, kind after kind, each under its heading."""
    for kind, several in by_kind(findings):
        facts = {"kind": say(f"finding.{kind}"), "count": len(several)}
        yield Title(say(heading, facts))
        yield from ((f.subject.text, f.sentence) for f in several)


def rows_by_gravity(findings: Iterable[Finding]) -> Iterator[Row]:
    """Yield findings for a person, the gravest kinds first, each with its next step."""
    for kind, several in by_kind(findings):
        gravity, step = several[0].gravity, several[0].next_step
        facts = {
            "gravity": say(f"gravity.{gravity}"),
            "kind": say(f"finding.{kind}"),
            "count": len(several),
        }
        yield Title(say("findings.group", facts))
        yield say("findings.step"), step
        yield from ((f.subject.text, f.sentence) for f in several)


def table_of(rows: Iterable[Row]) -> Table:
    """Return rows of findings as a table."""
    return Table.of([Column(most=18), Column()], rows)


def cells_of(findings: Iterable[Finding]) -> Iterator[tuple[str, ...]]:
    """Yield the cells of each finding as CSV, the gravest first."""
    for gravity, several in by_gravity(findings):
        word = say(f"gravity.{gravity}")
        for f in several:
            on = str(f.on or "")
            yield word, f.kind, f.subject.text, on, f.sentence, f.next_step, f.source
