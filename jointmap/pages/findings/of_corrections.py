"""Corrections of what is judged by that no second person has looked at yet."""

from collections.abc import Iterator, Mapping
from itertools import pairwise

from jointmap.pages.findings.finder import Finder, Seen
from jointmap.pages.findings.of_roles import unseen_entries
from jointmap.pages.showing import Showing
from jointmap.register import FORMS, Position, form_of
from jointmap.register.columns_judged import JUDGED_BY, is_judged_anew
from jointmap.reports.views import Finding
from jointmap.storage import Revision
from jointmap.storage.naming import key_text, plain_key


def unseen_corrections(seen: Seen) -> Iterator[Finding]:
    """Yield each entry that corrected what is judged by, until another has seen it."""
    found = _by_entry(seen.showing)
    yield from unseen_entries(seen, "correction_unseen", "correction_unseen", found)


def _by_entry(showing: Showing) -> Mapping[int, list[str]]:
    found: dict[int, list[str]] = {}
    for kind in JUDGED_BY:
        for each in showing.corrected_of(FORMS[kind].record):
            for old, new in pairwise(each):
                if is_judged_anew(old.record, new.record):
                    found.setdefault(new.entry, []).append(_told(showing, old, new))
    return found


def _told(showing: Showing, old: Revision, new: Revision) -> str:
    state, record = showing.assessed.state, new.record
    key = [plain_key(value) for value in record.key()]
    name = key_text(state.connection, state.site_id, record.KIND, key)
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
