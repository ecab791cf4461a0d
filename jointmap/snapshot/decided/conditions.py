"""Rules that a law allows on a condition: from when that condition is on record.

Source: 49 CFR 192.465(a) allows tests by tenths where tests at its yearly intervals are
impractical. Whether they are is for two persons to decide.
"""

import datetime as dt
from dataclasses import replace

import numpy as np

from jointmap.register import Decision, Rule
from jointmap.register.codes import DecisionKind
from jointmap.register.columns import RuleColumns
from jointmap.register.rule_codes import RuleShape
from jointmap.snapshot.snapshot import Snapshot


def on_condition(state: Snapshot, rules: RuleColumns, names: list[str]) -> RuleColumns:
    """Return the rules, those on a condition only from when it was decided.

    ``names`` are those of the rules, one a row.
    """
    asks = rules.shape == RuleShape.TENTH_A_YEAR.code
    if not asks.any():
        return rules
    decided = conditions_decided(state)
    days = [decided.get(name, (None, None)) for name in names]
    first, last = (np.array(own, "datetime64[D]") for own in zip(*days, strict=True))
    held = replace(
        rules,
        from_on=np.where(asks, np.fmax(rules.from_on, first), rules.from_on),
        until_on=np.where(asks, np.fmin(rules.until_on, last), rules.until_on),
    )
    return held.take(~asks | ~np.isnat(first))


def conditions_decided(
    state: Snapshot,
) -> dict[str, tuple[dt.date, dt.date | None]]:
    """Return for each rule by name from when, and until when, its condition holds.

    Of several decisions the first day counts, and the end of the last.
    """
    found: dict[str, tuple[dt.date, dt.date | None]] = {}
    for decision in sorted(_decisions(state), key=lambda d: d.decided_on):
        name = decision.subject_key.strip()
        first, _ = found.get(name, (decision.decided_on, None))
        found[name] = first, decision.until_on
    return found


def _decisions(state: Snapshot) -> list[Decision]:
    return [
        d
        for d in state.decisions.values()
        if d.kind is DecisionKind.YEARLY_IMPRACTICAL
        and d.subject.strip().lower() == Rule.KIND
    ]
