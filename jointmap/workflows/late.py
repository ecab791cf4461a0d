"""What was recorded late: the day it happened, the day it was recorded, the delay."""

import datetime as dt
from collections.abc import Iterator
from zoneinfo import ZoneInfo

from jointmap.plain_text import csv_text
from jointmap.register import (
    Certificate,
    Decision,
    Device,
    Installation,
    IsolationTest,
    Occurrence,
    Record,
)
from jointmap.sites.site_folder import SiteFolder
from jointmap.storage import Reading
from jointmap.storage.naming import key_text, plain_key
from jointmap.wording import say

LATE_DAYS = 90
# What tells, of each kind, when it happened.
_HAPPENED: dict[type[Record], str] = {
    IsolationTest: "tested_on",
    Installation: "installed_on",
    Device: "fitted_on",
    Occurrence: "happened_on",
    Certificate: "valid_from_on",
    Decision: "decided_on",
}
_HEADING = ("kind", "what", "happened_on", "recorded_on", "delay_days", "by", "why")


def late_text(
    site: SiteFolder, *, days: int, known: dt.date | None, form: str = "table"
) -> tuple[str, int]:
    """Return what was first recorded more than ``days`` days late, and how much it is.

    The longest delay comes first. ``form`` is ``table`` or ``csv``.
    """
    with site.register.read(known) as state:
        found = sorted(_late(state, days), key=lambda r: (-int(r[4]), r))
    if form == "csv":
        return csv_text(_HEADING, found), len(found)
    if not found:
        return say("late.none", {"days": days}) + "\n", 0
    told = (say("late.line", dict(zip(_HEADING, r, strict=True))) for r in found)
    return "".join(f"{line}\n" for line in told), len(found)


def _late(state: Reading, days: int) -> Iterator[tuple[str, ...]]:
    zone = ZoneInfo(state.site.time_zone)
    recorded = {e.entry: e for e in state.entries}
    for kind, field in _HAPPENED.items():
        for revision in state.revisions(kind):
            happened: dt.date = getattr(revision.record, field)
            entry = recorded[revision.entry]
            on = entry.recorded_at.astimezone(zone).date()
            delay = (on - happened).days
            if revision.revision == 1 and delay > days:
                key = [plain_key(v) for v in revision.record.key()]
                what = key_text(state.connection, state.site_id, kind.KIND, key)
                named = kind.KIND.replace("_", " ")
                who = (entry.recorded_by, entry.reason)
                yield named, what, str(happened), str(on), str(delay), *who
