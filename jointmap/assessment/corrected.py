"""Records before and after each correction, as written and as they read on the day."""

from itertools import pairwise
from typing import NamedTuple

from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.register import Record
from jointmap.register.revision import Revision


class Corrected(NamedTuple):
    """Two revisions of a record, one after the other, and how both read on the day.

    Where what a revision tells of was not there on the day, it reads as None.
    """

    old: Revision
    new: Revision
    before: Record | None
    after: Record | None


def corrections(site: SiteOnDay, kind: type[Record]) -> list[Corrected]:
    """Return every correction of a kind that is known, whatever day it is about."""
    written = site.state.known.corrected_of(kind)
    if not written:
        return []
    of_day = site.state.corrected_of(kind)
    then = {(r.id, r.revision): r.record for own in of_day for r in own}
    return [
        Corrected(
            old,
            new,
            then.get((old.id, old.revision)),
            then.get((new.id, new.revision)),
        )
        for revisions in written
        for old, new in pairwise(revisions)
    ]
