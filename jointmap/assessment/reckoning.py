"""What the tests of a state come to, and the risk, block by block."""

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING

from jointmap.acceptance import Judgements
from jointmap.assessment.blocks import Block
from jointmap.assessment.subjects import joint_history, other_history
from jointmap.hazard.failure_model import model_on
from jointmap.intervals import (
    Candidates,
    Footing,
    SubjectColumns,
    TriggerColumns,
    counting_tests,
    footing,
    joined,
)
from jointmap.register import Model
from jointmap.register.columns import TestColumns
from jointmap.snapshot.site_columns import Ground
from jointmap.snapshot.snapshot import Snapshot

if TYPE_CHECKING:
    from jointmap.assessment.risk import RiskInForce, SiteRisk


def reckoned(  # noqa: PLR0913, PLR0917 - all that the dates of one day rest on
    ground: Ground,
    tests: TestColumns,
    judgements: Judgements,
    parts: Sequence[Block],
    subjects: SubjectColumns,
    triggers: TriggerColumns,
    model: Model | None,
) -> tuple[Footing, "SiteRisk | None", Candidates | None]:
    """Return the footing of every subject; where a model is in force, risk and dates.

    Without a model the dates are those of the rules alone.
    """
    risk = _risk_under(model, ground) if model else None
    feet = []
    for part in parts:
        own = subjects.take(part.rows)
        history = joint_history(own, ground.rules, judgements, part.seen)
        counting = counting_tests(own, history, ground.on)
        feet.append(footing(own, counting, triggers, ground.rules, ground.on))
        if risk:
            risk.add(part, tests, own, counting)
    others = subjects.take(slice(len(ground.joints), None))
    counting = counting_tests(others, other_history(tests, judgements), ground.on)
    feet.append(footing(others, counting, triggers, ground.rules, ground.on))
    if risk is None:
        return joined(feet), None, None
    return joined(feet), *risk.whole(tests, judgements, subjects)


def model_now(state: Snapshot, ground: Ground) -> Model | None:
    """Return the failure model in force on the day of ``ground``."""
    day: dt.date = ground.on.astype(object)
    return model_on(state.models, day)


def _risk_under(model: Model, ground: Ground) -> "RiskInForce":
    # The sums need scipy, which a site without a model should not wait for.
    from jointmap.assessment.risk import RiskInForce

    return RiskInForce(model, ground)
