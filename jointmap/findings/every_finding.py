"""Every finding of a state, the gravest first."""

from collections.abc import Sequence

from jointmap.assessment.recorded_tests import RecordedTests
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.findings.finder import Finder, Seen
from jointmap.findings.finding import Found
from jointmap.findings.kind import Kind
from jointmap.findings.limits.of_dates import FINDERS
from jointmap.findings.limits.of_laws import LAW_FINDERS
from jointmap.findings.of_boundaries import BOUNDARY_FINDERS
from jointmap.findings.of_contradictions import CONTRADICTION_FINDERS
from jointmap.findings.of_copies import COPY_FINDERS
from jointmap.findings.of_corrections import CORRECTION_FINDERS
from jointmap.findings.of_counts import COUNT_FINDERS
from jointmap.findings.of_design import DESIGN_FINDERS
from jointmap.findings.of_ends import END_FINDERS
from jointmap.findings.of_fittings import FITTING_FINDERS
from jointmap.findings.of_held import HELD_FINDERS
from jointmap.findings.of_missing_papers import MISSING_PAPER_FINDERS
from jointmap.findings.of_papers import PAPER_FINDERS
from jointmap.findings.of_photos import PHOTO_FINDERS
from jointmap.findings.of_records import RECORD_FINDERS
from jointmap.findings.of_roles import ROLE_FINDERS

ALL_FINDERS: tuple[Finder, ...] = (
    *BOUNDARY_FINDERS,
    *FINDERS,
    *FITTING_FINDERS,
    *HELD_FINDERS,
    *PAPER_FINDERS,
    *MISSING_PAPER_FINDERS,
    *COPY_FINDERS,
    *RECORD_FINDERS,
    *PHOTO_FINDERS,
    *CONTRADICTION_FINDERS,
    *END_FINDERS,
    *COUNT_FINDERS,
    *DESIGN_FINDERS,
    *ROLE_FINDERS,
    *LAW_FINDERS,
    *CORRECTION_FINDERS,
)


def kinds_of(finders: Sequence[Finder]) -> tuple[Kind, ...]:
    """Return each kind that these may find, once, the gravest first."""
    kinds = dict.fromkeys(kind for finder in finders for kind in finder.kinds)
    return tuple(sorted(kinds, key=lambda kind: kind.gravity))


def all_findings(
    site: SiteOnDay, tests: RecordedTests, finders: Sequence[Finder] = ALL_FINDERS
) -> tuple[Found, ...]:
    """Return every finding, kind after kind, the gravest kinds first."""
    seen = Seen(site, tests)
    place = {kind: n for n, kind in enumerate(kinds_of(finders))}
    found = (f for find in finders for f in find(seen))
    return tuple(sorted(found, key=lambda f: place[f.kind]))
