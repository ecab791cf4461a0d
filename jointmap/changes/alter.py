"""A fact that is another from a day on: the new value, and what it was until then."""

import datetime as dt
from collections.abc import Iterable, Mapping
from typing import cast

from jointmap.changes.change import Change, begin
from jointmap.changes.joint_days import check_on_record
from jointmap.changes.revise import as_decided, changed, differences, put
from jointmap.changes.rows.context import Context, local_day
from jointmap.changes.rows.find_record import key_of, kind_called, record_called
from jointmap.changes.rows.records_checked import check_days, check_record
from jointmap.errors import Problem, WrongUse
from jointmap.exchange import Sheet
from jointmap.register import Altered, Joint, Record
from jointmap.register.altered import ALTERABLE, TEXTS, alterations
from jointmap.register.rights.needed import Changed
from jointmap.sites.site_folder import SiteFolder
from jointmap.storage import Writing
from jointmap.wording import say

# What a device is made of is the same for its life.
_REPLACED = ("device", "installation")


def alter(
    site: SiteFolder, kind: str, key: str, given: Mapping[str, str], change: Change
) -> list[str]:
    """Record that facts of one thing are others from ``change.on``; return lines.

    ``given`` holds text by column, as a sheet would; the day may be to come. Days
    before it are judged as they were. Raises ``WrongUse`` for what has no days, and for
    a day before the thing was there or not after the last alteration of a column.
    """
    sheet = kind_called(kind)
    check_alterable(sheet, given)
    with begin(site, change) as job:
        id_ = record_called(job, sheet.kind, key)
        old = job.known(sheet.kind).record(id_)
        new = changed(job, sheet, old, given)
        check_record(new, Context(job, change.now, local_day(job, change.now)), old)
        if isinstance(old, Joint):
            check_on_record(job, id_, old, change)
        rows = note_alterations(job, id_, old, new, change)
        new = as_decided(job, Changed(id_, old, new), change)
        put(job, id_, new, change.reason)
        lines = differences(job, sheet, old, new)
        return [*lines, say("alter.until", {"day": change.on, "count": len(rows)})]


def check_alterable(sheet: Sheet, given: Iterable[str]) -> None:
    """Refuse columns that hold for life; says which may be altered, and what else."""
    if sheet.kind in _REPLACED:
        raise WrongUse(Problem("alter.replace", {"kind": sheet.kind}))
    if sheet.kind not in ALTERABLE:
        accepted = ", ".join(ALTERABLE)
        raise WrongUse(Problem("alter.kind", {"accepted": accepted}, value=sheet.kind))
    labels = [n for n, c in sheet.columns.items() if c.name in ALTERABLE[sheet.kind]]
    unfit = [n for n in given if n in sheet.columns and n not in labels]
    if unfit:
        facts = {"kind": sheet.kind, "accepted": ", ".join(labels)}
        raise WrongUse([Problem("alter.column", facts, column=n) for n in unfit])


def note_alterations(
    job: Writing, id_: int, old: Record, new: Record, change: Change
) -> list[Altered]:
    """Record what each alterable column was until ``change.on``; return the rows."""
    rows = [*alterations(id_, old, new, change.on)]
    for row in rows:
        _check_order(job, old, row)
        check_days(row, local_day(job, change.now))
    for row in rows:
        job.add(row)
    return rows


def _check_order(job: Writing, old: Record, row: Altered) -> None:
    """Refuse a day on which the same fact was altered already, or one before it."""
    about = {"subject": row.subject, "subject_id": row.subject_id}
    known = job.known(row.KIND).having(**about, column=row.column)
    days = [cast("Altered", other).until_on for _, other in known]
    last = max(days, default=dt.date.min)
    if last >= row.until_on:
        facts = {"key": key_of(job, old), "last": last, "day": row.until_on}
        is_text = row.column == TEXTS
        label = "quantities" if is_text else row.column.removesuffix("_id")
        raise WrongUse(Problem("alter.order", facts, column=label))
