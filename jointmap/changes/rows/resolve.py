"""Drafts to records: references resolved, context checked."""

import json
from dataclasses import replace
from typing import Any

from jointmap.acceptance import in_si
from jointmap.changes.rows.called import find
from jointmap.changes.rows.context import Context
from jointmap.changes.rows.records_checked import check_kind, odd_days
from jointmap.errors import Problem, Refused
from jointmap.exchange import Draft, Ref
from jointmap.register import (
    FORMS,
    Limit,
    Record,
)
from jointmap.storage import Writing
from jointmap.units import number_text


def record_of(draft: Draft, context: Context) -> Record:
    """Return the record that a draft stands for; raises ``Refused``."""
    values, wrong = _resolved(draft, context.job)
    wrong += odd_days(draft.kind, values, context.today)
    if wrong:
        raise Refused([_as_sent(draft, p) for p in wrong])
    try:
        record = FORMS[draft.kind].record(**{**values, "origin": draft.origin})
        if isinstance(record, Limit):
            record = in_si(record)
    except Refused as refused:
        raise Refused([_as_sent(draft, p) for p in refused.problems]) from None
    check_kind(record, context)
    return record


# Where a reference is written under another heading than its field's label.
_HEADINGS = {
    ("positions", "subject"): "name",
    ("joints", "subject"): "tag",
    ("installations", "device"): "device_fitted_on",
    ("joints", "captured_on"): "position_on",
    ("joints", "method"): "position_method",
    ("joints", "accuracy"): "position_accuracy",
}


def heading_of(sheet: str, label: str) -> str:
    """Return the heading under which a sheet has a field of this label."""
    return _HEADINGS.get((sheet, label), label)


def _as_sent(draft: Draft, problem: Problem) -> Problem:
    """Return ``problem`` with the heading and the text that the sender wrote."""
    written = json.loads(str(draft.values.get("as_written") or "{}"))
    value = draft.values.get(problem.column, draft.values.get(f"{problem.column}_id"))
    shown = problem.value or ("" if value is None else _text(value))
    return replace(
        problem,
        column=heading_of(draft.sheet, problem.column),
        value=written.get(problem.column, shown),
    )


def _text(value: object) -> str:
    if isinstance(value, float):
        return number_text(value)
    return value.key if isinstance(value, Ref) else str(value)


def _resolved(draft: Draft, job: Writing) -> tuple[dict[str, Any], list[Problem]]:
    values: dict[str, Any] = {}
    wrong: list[Problem] = []
    for name, value in draft.values.items():
        if not isinstance(value, Ref):
            values[name] = value
            continue
        found = find(job, value)
        values[name] = found
        if found is None:
            facts = {"kind": value.kind.replace("_", " ")}
            label = name.removesuffix("_id")
            wrong.append(
                Problem("row.unknown_reference", facts, column=label, value=value.key)
            )
    return values, wrong


def subject_key(draft: Draft) -> str:
    """Return the natural key of a draft as a person reads it."""
    parts = [draft.values.get(name) for name in FORMS[draft.kind].key]
    texts = [p.key if isinstance(p, Ref) else str(p) for p in parts if p is not None]
    return " ".join(texts)


def key_headings(draft: Draft) -> str:
    """Return the headings that name a draft, as its sheet has them."""
    columns = {c.name: c.label for c in FORMS[draft.kind].columns}
    labels = [columns[name] for name in FORMS[draft.kind].key]
    return ", ".join(heading_of(draft.sheet, label) for label in labels)


def placed_in(draft: Draft, problem: Problem) -> Problem:
    """Return ``problem`` with the file and line of ``draft``."""
    return replace(problem, file=draft.file, line=draft.line)
