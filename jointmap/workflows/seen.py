"""What a finder is given, and what it makes."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

from jointmap.intervals import Missed
from jointmap.reports.views import Finding, Link
from jointmap.wording import say
from jointmap.workflows.due_views import missed_of
from jointmap.workflows.showing import Showing
from jointmap.workflows.shown_tests import ShownTests


@dataclass(frozen=True)
class Seen:
    """An assessment as the finders see it."""

    showing: Showing
    tests: ShownTests

    @cached_property
    def missed(self) -> Missed:
        """Limits broken, or nearly, in the last ten years."""
        return missed_of(self.showing)

    def finding(self, kind: str, subject: Link, id_: str, **values: object) -> Finding:
        """Return a finding with its sentence made."""
        return Finding(kind=kind, subject=subject, sentence=say(f"find.{id_}", values))


Finder = Callable[[Seen], Iterator[Finding]]
