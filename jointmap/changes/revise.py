"""Correct a record: a new revision with who, when and why; the old one stays."""

import json
from collections.abc import Collection, Mapping
from dataclasses import MISSING, fields, replace
from typing import Any

from jointmap.changes.change import Change, begin
from jointmap.changes.decided import Decided, decision
from jointmap.changes.differing import shown
from jointmap.changes.holding import Doubt, Holding, held_about
from jointmap.changes.rows.called import find
from jointmap.changes.rows.context import Context, local_day
from jointmap.changes.rows.find_record import key_of, kind_called, record_called
from jointmap.changes.rows.records_checked import check_record
from jointmap.changes.rows.same_names import Names
from jointmap.errors import Problem, Refused, WrongUse
from jointmap.exchange import Ref, Sheet
from jointmap.exchange.cells import read_cell
from jointmap.incoming.size_limits import check_cell
from jointmap.register import FORMS, Column, Limit, Record, Rule
from jointmap.register.rights.needed import Changed, decision_needed
from jointmap.sites.site_folder import SiteFolder
from jointmap.storage import Writing
from jointmap.wording import say


def revise(
    site: SiteFolder,
    kind: str,
    key: str,
    given: Mapping[str, str],
    change: Change,
) -> list[str]:
    """Put new values into one record; return a line per value with old and new.

    ``given`` holds text by column, as a sheet would. Raises ``WrongUse`` without a
    reason, for an unknown record or column, and where nothing would change; ``Refused``
    for values that a sheet could not hold either.
    """
    sheet = kind_called(kind)
    with begin(site, change) as job:
        id_ = record_called(job, sheet.kind, key)
        old = job.known(sheet.kind).record(id_)
        new = changed(job, sheet, old, given)
        context = Context(job, change.now, local_day(job, change.now))
        # Before the check forgets what stood.
        doubted = _doubts(context, old)
        check_record(new, context, old)
        new = as_decided(job, Changed(id_, old, new), change)
        put(job, id_, new, change.reason)
        asked = _ask_anew(context, sheet, (old, new), given, doubted)
        return [*differences(job, sheet, old, new), *asked]


def _doubts(context: Context, record: Record) -> dict[Doubt, Problem]:
    return {(p.id, p.column): p for p in context.doubts(record)}


def _ask_anew(
    context: Context,
    sheet: Sheet,
    records: tuple[Record, Record],
    given: Mapping[str, str],
    doubted: Collection[Doubt],
) -> list[str]:
    """Close the doubts that a correction has met, hold those that it raises.

    A value that was given anew is asked about anew, if it is still doubtful. Returns a
    line for each.
    """
    job, (old, new) = context.job, records
    doubts = _doubts(context, new)
    gone = {doubt for doubt in doubted if doubt not in doubts}
    holding, subject = Holding(job), key_of(job, old)
    closed = holding.settle(subject, given, gone)
    lines = [_line("revise.settled", h.column, h.doubt, h.details) for h in closed]
    for doubt, problem in doubts.items():
        if doubt not in doubted or problem.column in given:
            about = sheet.name, key_of(job, new), new.origin
            held = held_about(*about, problem, context.today)
            holding.hold(held, is_new=True)
            lines.append(_line("revise.held", held.column, held.doubt, held.details))
    return lines


def _line(id_: str, column: str, doubt: str, details: str | None) -> str:
    why = say(doubt, json.loads(details or "{}"))
    return say(id_, {"column": column, "why": why})


def as_decided(job: Writing, made: Changed, change: Change) -> Record:
    """Record the decision that a correction needs, and name it where a rule does."""
    needed = decision_needed(made)
    if needed is None:
        return made.new
    decided = Decided(needed.kind, needed.subject, needed.key)
    id_ = job.add(decision(job, decided, change))
    if isinstance(made.new, Rule | Limit):
        return replace(made.new, decision_id=id_)
    return made.new


def changed(
    job: Writing, sheet: Sheet, old: Record, given: Mapping[str, str]
) -> Record:
    """Return ``old`` with the given texts as values; raises where nothing changes."""
    if not given:
        raise WrongUse(Problem("revise.nothing"))
    values = values_of(job, sheet, given)
    values["as_written"] = as_written(sheet, old.as_written, given)
    new = replace(old, **values)
    if all(getattr(old, n) == v for n, v in values.items() if n != "as_written"):
        raise WrongUse(Problem("revise.same", {"key": key_of(job, old)}))
    return new


def values_of(job: Writing, sheet: Sheet, given: Mapping[str, str]) -> dict[str, Any]:
    """Return the values of texts given by column; raises for what a sheet refuses."""
    _check_columns(sheet, given)
    values: dict[str, Any] = {}
    wrong: list[Problem] = []
    for label, text in given.items():
        check_cell(text, label)
        try:
            values.update(_value(job, sheet, label, text.strip()))
        except Refused as refused:
            found = [replace(p, column=label, value=text) for p in refused.problems]
            wrong.extend(found)
    if wrong:
        raise Refused(wrong)
    return values


def _check_columns(sheet: Sheet, given: Mapping[str, str]) -> None:
    unknown = [label for label in given if label not in sheet.columns]
    if unknown:
        facts = {"accepted": ", ".join(sheet.columns)}
        raise WrongUse([Problem("revise.column", facts, column=u) for u in unknown])
    if sheet.kind == "joint" and "tag" in given:
        raise WrongUse(Problem("revise.tag", column="tag"))


def _value(job: Writing, sheet: Sheet, label: str, text: str) -> dict[str, object]:
    column = sheet.columns[label]
    bound_name = f"{label}_bound"
    has_bound = bound_name in {c.name for c in FORMS[sheet.kind].columns}
    if not text:
        return {column.name: _empty(sheet, column)} | (
            {bound_name: 0} if has_bound else {}
        )
    value, bound = read_cell(column, text, bounded=has_bound)
    if isinstance(value, Ref):
        ref, value = value, find(job, value)
        if value is None:
            facts = {"kind": ref.kind.replace("_", " ")}
            raise Refused(Problem("row.unknown_reference", facts))
    return {column.name: value} | ({bound_name: bound} if has_bound else {})


def _empty(sheet: Sheet, column: Column) -> object:
    own = {f.name: f for f in fields(FORMS[sheet.kind].record)}[column.name]
    if own.default is MISSING:
        raise Refused(Problem("cell.missing"))
    return own.default


def as_written(sheet: Sheet, before: str, given: Mapping[str, str]) -> str:
    """Return the sender's own texts of quantities, the given ones in their place."""
    texts = json.loads(before or "{}")
    for label, text in given.items():
        if sheet.columns[label].quantity:
            texts.pop(label, None)
            if text.strip():
                texts[label] = text.strip()
    if not texts:
        return ""
    return json.dumps(texts, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def put(job: Writing, id_: int, record: Record, reason: str) -> None:
    """Write a new revision; raises ``WrongUse`` where its name is another record's."""
    known = job.known(record.KIND)
    if known.by_key.get(record.key(), id_) != id_:
        facts = {"kind": record.KIND.replace("_", " "), "key": key_of(job, record)}
        raise WrongUse(Problem("revise.key_taken", facts))
    if known.record(id_).key() != record.key():
        for now in Names(job).had_by(record.KIND, record.key(), id_):
            value = key_of(job, record)
            raise Refused(Problem("row.name_of_another", {"now": now}, value=value))
    job.revise(id_, replace(record, correction_reason=reason))


def differences(job: Writing, sheet: Sheet, old: Record, new: Record) -> list[str]:
    """Return a line for each value that differs, old and new."""
    lines = []
    for label, column in sheet.columns.items():
        before, after = (
            shown(job, record, column.label) or "empty" for record in (old, new)
        )
        if before != after:
            facts = {
                "kind": sheet.kind.replace("_", " "),
                "key": key_of(job, old),
                "column": label.replace("_", " "),
                "old": before,
                "new": after,
            }
            lines.append(say("revise.done", facts))
    return lines
