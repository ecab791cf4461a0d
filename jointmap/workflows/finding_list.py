"""Every finding of a state, in one order."""

from jointmap.reports.views import Finding
from jointmap.workflows.findings import FINDERS
from jointmap.workflows.findings_in_records import RECORD_FINDERS
from jointmap.workflows.seen import Seen
from jointmap.workflows.showing import Showing
from jointmap.workflows.shown_tests import ShownTests


def all_findings(showing: Showing, tests: ShownTests) -> tuple[Finding, ...]:
    """Return every finding, kind after kind."""
    seen = Seen(showing, tests)
    return tuple(f for find in (*FINDERS, *RECORD_FINDERS) for f in find(seen))
