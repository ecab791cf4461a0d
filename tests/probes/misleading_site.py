"""What the program makes of an edited delivery: refused, held, told, or nothing."""

import csv
import shutil
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from jointmap.assessment.assess import Assessment
from jointmap.changes.load import LoadReport, load
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.shown_tests import ShownTests
from jointmap.register import IsolationTest
from jointmap.register.codes import Verdict
from jointmap.reports.views import Finding
from jointmap.sites.site_folder import SiteFolder
from jointmap.workflows.opening import open_site
from tests.opened_site import shown, untried
from tests.probes.misleading import Draw, recorded_at
from tests.sample_reader import DEMO_DAY, Row

REFUSED, HELD, TOLD, NOT_GOOD, SILENT = FATES = (
    "refused", "held", "told", "not good", "silent",
)  # fmt: skip
# What follows from where a place stands and from its dates. It says nothing of whether
# the record of a test can be trusted; every other kind of finding tells something.
OF_STATES = {
    "boundary_shorted", "cannot_decide", "clock_over", "close_to_limit", "cluster",
    "law_limit_broken", "limit_broken", "missed_year", "not_for_transfer", "past_limit",
    "path_joining", "repair_not_proved", "section_current", "short_count",
    "stud_one_side",
}  # fmt: skip
_LATE = {"past_limit", "limit_broken", "law_limit_broken", "missed_year"}
Said = Counter[tuple[str, str, str]]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one edit, and by which doubt or finding."""

    draw: Draw
    fate: str
    by: str

    @property
    def is_seen(self) -> bool:
        return self.fate != SILENT


def outcomes(demo_site: Path, folder: Path, draws: Iterable[Draw]) -> Iterator[Outcome]:
    """Load each edit into a copy of the demo's site of its own, and look."""
    before = _said_at_first(demo_site, folder / "before")
    for draw in draws:
        place = folder / f"edit-{draw.number}"
        with _copied(demo_site, place) as site:
            yield _outcome(site, draw, before)
        shutil.rmtree(place)


@contextmanager
def _copied(demo_site: Path, place: Path) -> Iterator[SiteFolder]:
    left_out = shutil.ignore_patterns("attachments", "shown", "templates")
    shutil.copytree(demo_site, place, ignore=left_out)
    site = untried(open_site(place, clock_is_right=True))
    try:
        yield site
    finally:
        site.register.close()


def _said_at_first(demo_site: Path, place: Path) -> Said:
    with _copied(demo_site, place) as site, shown(site, DEMO_DAY) as showing:
        return _said(shown_findings(showing, ShownTests(showing)).all)


def _said(found: Iterable[Finding]) -> Said:
    return Counter((f.kind, f.subject.text, f.sentence) for f in found)


def _outcome(site: SiteFolder, draw: Draw, before: Said) -> Outcome:
    report = _load(site, draw)
    if report.refused:
        return Outcome(draw, REFUSED, report.refused[0].id)
    if report.held:
        return Outcome(draw, HELD, report.held[0].id)
    with shown(site, DEMO_DAY) as showing:
        found = shown_findings(showing, ShownTests(showing)).all
        new = _said(found) - before
        told = sorted({kind for kind, _, _ in new} - OF_STATES)
        if told:
            return Outcome(draw, TOLD, ", ".join(told))
        why = _why_not_good(showing.assessed, draw, _said(found), new)
    return Outcome(draw, NOT_GOOD if why else SILENT, why)


def _load(site: SiteFolder, draw: Draw) -> LoadReport:
    sent = site.path / "sent"
    sent.mkdir()
    for sheet, rows in draw.sheets.items():
        write_sheet(sent / f"{sheet}.csv", rows)
    # Who may send the tests of others may not send devices, and the other way round.
    by = "E1" if "devices" in draw.sheets else "P1"
    return load(site, [sent], now=recorded_at(), by=by, reason="Returned sheets")


def write_sheet(path: Path, rows: list[Row]) -> None:
    names = list(dict.fromkeys(n for row in rows for n in row))
    with path.open("w", encoding="utf-8", newline="") as file:
        sheet = csv.DictWriter(file, names, restval="", lineterminator="\n")
        sheet.writeheader()
        sheet.writerows(rows)


def _why_not_good(found: Assessment, draw: Draw, said: Said, new: Said) -> str:
    """Return why the place of the edit does not look good after all; blank if it does.

    The last row is the edited one.
    """
    row = draw.sheets["tests"][-1]
    name = row.get("joint") or row.get("path", "")
    if draw.goal == "in time":
        own = [kind for kind, subject, _ in said if subject == name]
        late = {k for k, subject, _ in new if subject == name} | {"past_limit"} & {*own}
        return ", ".join(sorted(late & _LATE))
    if draw.goal == "whole studs":
        lost = any(k == "stud_one_side" and s == name for k, s, _ in said)
        return "stud_one_side" if lost else ""
    return _not_isolating(found, row)


def _not_isolating(found: Assessment, row: Row) -> str:
    """Return what the test, its joint or its boundary is called instead."""
    test = found.state.last_id(IsolationTest)
    at = found.tests.test_id.tolist().index(test)
    joint_id = found.state.joint_ids[row["joint"]]
    joint = found.joints.joint_id.tolist().index(joint_id)
    of_boundary = found.ground.joints.boundary_id[joint]
    boundary = found.boundaries.boundary_id.tolist().index(of_boundary)
    codes = {
        "test": found.judgements.shows[at],
        "joint": found.joints.verdict[joint],
    }
    if found.boundaries.state[boundary] == Verdict.SHORTED:
        codes["boundary"] = Verdict.SHORTED.code
    words = {k: Verdict.at(int(c)) for k, c in codes.items()}
    return ", ".join(f"{k} {w}" for k, w in words.items() if w != Verdict.ISOLATING)


def told_as(found: list[Outcome]) -> str:
    """Return a table of kinds and sizes, and a line for each edit that was silent."""
    fates = (*FATES, "cannot be shown")
    lines = [f"{'kind':13}{'size':8}" + "".join(f"{f:>17}" for f in fates)]
    cells = Counter((o.draw.kind, o.draw.size, _column(o)) for o in found)
    for kind, size in dict.fromkeys((o.draw.kind, o.draw.size) for o in found):
        row = "".join(f"{cells[kind, size, f]:>17}" for f in fates)
        lines.append(f"{kind:13}{size:8}{row}")
    silent = [o.draw for o in found if _column(o) == SILENT]
    lines += [f"{d.number} {d.edit}: {d.sheets['tests']}" for d in silent]
    return "\n".join(lines)


def _column(found: Outcome) -> str:
    return "cannot be shown" if found.draw.cannot_be_shown else found.fate
