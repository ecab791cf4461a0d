"""Corrections of what is judged by that no second person has looked at yet."""

from collections.abc import Iterator, Mapping
from itertools import pairwise

from jointmap.assessment.site_on_day import SiteOnDay
from jointmap.findings.finder import Finder, Seen
from jointmap.findings.finding import Found
from jointmap.findings.of_roles import unseen_entries
from jointmap.register import FORMS, Position, form_of
from jointmap.register.columns_judged import JUDGED_BY, is_judged_anew
from jointmap.register.revision import Revision


def unseen_corrections(seen: Seen) -> Iterator[Found]:
    """Yield each entry that corrected what is judged by, until another has seen it."""
    found = _by_entry(seen.site)
    yield from unseen_entries(seen, "correction_unseen", "correction_unseen", found)


def _by_entry(site: SiteOnDay) -> Mapping[int, list[str]]:
    found: dict[int, list[str]] = {}
    for kind in JUDGED_BY:
        for each in site.corrected_of(FORMS[kind].record):
            for old, new in pairwise(each):
                if is_judged_anew(old.record, new.record):
                    found.setdefault(new.entry, []).append(_told(site, old, new))
    return found


def _told(site: SiteOnDay, old: Revision, new: Revision) -> str:
    record, name = new.record, site.assessed.state.name_of(new.record)
    if isinstance(record, Position):
        return f"position of {name}"
    labels = [
        c.label
        for c in form_of(type(record)).columns
        if c.name in JUDGED_BY[record.KIND]
        and getattr(old.record, c.name) != getattr(record, c.name)
    ]
    return f"{record.KIND} {name} ({', '.join(labels)})"


CORRECTION_FINDERS: tuple[Finder, ...] = (unseen_corrections,)
