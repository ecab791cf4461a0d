"""The risk of a site where a failure model is in force, and only there."""

import datetime as dt
from typing import TYPE_CHECKING

from jointmap.acceptance import Judgements
from jointmap.intervals import HistoryColumns, SubjectColumns
from jointmap.intervals.failure_model import model_on
from jointmap.register import Model
from jointmap.register.columns import TestColumns
from jointmap.storage import Reading
from jointmap.workflows.columns import Ground

if TYPE_CHECKING:
    from jointmap.workflows.risk import SiteRisk


def read_risk(
    state: Reading,
    ground: Ground,
    tests: TestColumns,
    judgements: Judgements,
    subjects: SubjectColumns,
    history: HistoryColumns,
) -> "SiteRisk | None":
    """Return the risk under the model in force on the day of ``ground``, if any.

    Without a model the dates are those of the rules alone.
    """
    day: dt.date = ground.on.astype(object)
    record = model_on(state.records(Model), day)
    if record is None:
        return None
    # The sums need scipy, which a site without a model should not wait for.
    from jointmap.workflows.risk import risk_under

    return risk_under(record, ground, tests, judgements, subjects, history)
