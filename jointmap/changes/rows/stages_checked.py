"""What a test says of its stage, beside what the record says of the joint by then."""

import datetime as dt
from collections.abc import Iterator, Sequence

import numpy as np

from jointmap.errors import Problem
from jointmap.register import IsolationTest, Joint
from jointmap.register.codes import Outcome
from jointmap.register.stages import BEFORE_INSTALLED, NOT_IN_PLACE, is_tie_in_over
from jointmap.tables import METHOD_CODES, METHODS
from jointmap.wording import say


def is_before_installed(test: IsolationTest) -> bool:
    """Return whether a reading is said to be made before the joint was installed."""
    return test.outcome is Outcome.MEASURED and test.stage in BEFORE_INSTALLED


def unfit_stage(test: IsolationTest) -> Iterator[Problem]:
    """Yield a doubt where the method decides only on what is installed."""
    place = METHOD_CODES.get(test.method)
    fit = () if place is None else METHODS[place].stages
    if fit and not set(fit) & set(BEFORE_INSTALLED):
        facts = {"method": test.method, "accepted": ", ".join(fit)}
        yield Problem("row.not_installed", facts, column="stage", value=str(test.stage))


def stage_is_over(
    test: IsolationTest, joint: Joint, fitted: Sequence[dt.date]
) -> Iterator[Problem]:
    """Yield a doubt where the joint was fitted, or in duty, long before such a test.

    A device that is on record as fitted later may have been on the bench that day.
    """
    facts: dict[str, object] = {"joint": joint.tag, "tested_on": test.tested_on}
    if test.stage in NOT_IN_PLACE and fitted and max(fitted) < test.tested_on:
        facts["fitted_on"] = max(fitted)
        yield Problem(
            "row.fitted_by_then", facts, column="stage", value=str(test.stage)
        )
    if _is_over(test, joint, fitted):
        facts["since"] = joint.in_duty_on or say("absent.day")
        yield Problem("row.tie_in_over", facts, column="stage", value=str(test.stage))


def _is_over(test: IsolationTest, joint: Joint, fitted: Sequence[dt.date]) -> bool:
    last = max((day for day in fitted if day <= test.tested_on), default=None)
    days = [
        np.array([d], "datetime64[D]") for d in (test.tested_on, joint.in_duty_on, last)
    ]
    stage, state = (np.array([w.code], np.int16) for w in (test.stage, joint.state))
    return bool(is_tie_in_over(stage, days[0], state, *days[1:])[0])
