"""Every finding of a state, in one order."""

from collections.abc import Sequence

from jointmap.assessment.recorded_tests import RecordedTests
from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.findings.finder import Finder, Seen
from jointmap.findings.finding import Found
from jointmap.findings.of_boundaries import BOUNDARY_FINDERS
from jointmap.findings.of_contradictions import CONTRADICTION_FINDERS
from jointmap.findings.of_corrections import CORRECTION_FINDERS
from jointmap.findings.of_counts import COUNT_FINDERS
from jointmap.findings.of_dates import FINDERS
from jointmap.findings.of_design import DESIGN_FINDERS
from jointmap.findings.of_ends import END_FINDERS
from jointmap.findings.of_records import RECORD_FINDERS
from jointmap.findings.of_roles import ROLE_FINDERS

ALL_FINDERS: tuple[Finder, ...] = (
    *FINDERS,
    *BOUNDARY_FINDERS,
    *RECORD_FINDERS,
    *CONTRADICTION_FINDERS,
    *END_FINDERS,
    *COUNT_FINDERS,
    *DESIGN_FINDERS,
    *ROLE_FINDERS,
    *CORRECTION_FINDERS,
)


def all_findings(
    site: SiteOnDay, tests: RecordedTests, finders: Sequence[Finder] = ALL_FINDERS
) -> tuple[Found, ...]:
    """Return every finding, kind after kind."""
    seen = Seen(site, tests)
    return tuple(f for find in finders for f in find(seen))
