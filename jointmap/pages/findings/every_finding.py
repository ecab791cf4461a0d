"""Every finding of a state, in one order."""

from collections.abc import Sequence

from jointmap.pages.boundary_sentences import is_shorted
from jointmap.pages.findings.finder import Finder, Seen
from jointmap.pages.findings.of_boundaries import BOUNDARY_FINDERS
from jointmap.pages.findings.of_contradictions import CONTRADICTION_FINDERS
from jointmap.pages.findings.of_corrections import CORRECTION_FINDERS
from jointmap.pages.findings.of_counts import COUNT_FINDERS
from jointmap.pages.findings.of_dates import FINDERS
from jointmap.pages.findings.of_design import DESIGN_FINDERS
from jointmap.pages.findings.of_records import RECORD_FINDERS
from jointmap.pages.findings.of_roles import ROLE_FINDERS
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.reports.views import Finding

ALL_FINDERS: tuple[Finder, ...] = (
    *FINDERS,
    *BOUNDARY_FINDERS,
    *RECORD_FINDERS,
    *CONTRADICTION_FINDERS,
    *COUNT_FINDERS,
    *DESIGN_FINDERS,
    *ROLE_FINDERS,
    *CORRECTION_FINDERS,
)


def all_findings(
    showing: Showing, tests: ShownTests, finders: Sequence[Finder] = ALL_FINDERS
) -> tuple[Finding, ...]:
    """Return every finding, kind after kind."""
    seen = Seen(showing, tests)
    return tuple(f for find in finders for f in find(seen))


def findings_of_boundary(
    showing: Showing, findings: Sequence[Finding], id_: int
) -> list[str]:
    """Return what was found of a boundary, and the cluster that it is part of."""
    link = showing.boundary_link(id_)
    around: set[str] = set()
    if is_shorted(showing, id_):
        around = {j.area for j in showing.joints.values() if j.boundary_id == id_}
    return [
        f.sentence
        for f in findings
        if f.subject == link or (f.kind == "cluster" and f.subject.text in around)
    ]
