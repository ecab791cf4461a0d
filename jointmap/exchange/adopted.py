"""Rows that copy an entry of the catalogue into force."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from jointmap.acceptance import limit_in_force
from jointmap.errors import Problem, Refused, WrongUse
from jointmap.exchange.cells import Ref, read_cell
from jointmap.hazard.failure_model import model_in_force
from jointmap.intervals import rule_in_force
from jointmap.register import FORMS, Record

CATALOGUES: dict[str, Callable[..., Record]] = {
    "limits": limit_in_force,
    "rules": rule_in_force,
    "models": model_in_force,
}


def adopted(cells: Mapping[str, str]) -> dict[str, Any]:
    """Return the values of the record that a row of adopted.csv puts in force."""
    catalogue, name = cells["catalogue"].strip(), cells["name"].strip()
    if catalogue not in CATALOGUES:
        accepted = ", ".join(CATALOGUES)
        facts = {"accepted": accepted}
        raise Refused(
            Problem("adopted.catalogue", facts, "", 0, "catalogue", catalogue)
        )
    days = [_day(cells, label) for label in ("from_on", "until_on")]
    try:
        record = CATALOGUES[catalogue](name, *days)
    except (WrongUse, KeyError):
        facts = {"catalogue": catalogue}
        raise Refused(Problem("adopted.name", facts, "", 0, "name", name)) from None
    names = [c.name for c in FORMS[record.KIND].columns]
    values = {n: getattr(record, n) for n in names}
    decision = cells.get("decision", "").strip()
    if decision and "decision_id" not in names:
        facts = {"name": name}
        raise Refused(Problem("adopted.decision", facts, "", 0, "decision", decision))
    if decision:
        values["decision_id"] = Ref("decision", decision)
    return {**values, "kind_of_record": record.KIND}


def _day(cells: Mapping[str, str], label: str) -> object:
    text = cells.get(label, "").strip()
    column = next(c for c in FORMS["rule"].columns if c.name == label)
    try:
        return read_cell(column, text)[0] if text else None
    except Refused as refused:
        found = [replace(p, column=label, value=text) for p in refused.problems]
        raise Refused(found) from None
