"""Answers that hang on the whole site, and cannot be told from a part of it."""

from collections.abc import Collection

import numpy as np

from jointmap.assessment.assess import Assessment
from jointmap.intervals.rules import of_shape
from jointmap.intervals.tenth import Sections
from jointmap.register.codes import Verdict
from jointmap.register.rule_codes import RuleShape


def hangs_on_whole_site(found: Assessment, boundaries: Collection[int]) -> bool:
    """Return whether what is said of some boundaries of a part needs other records.

    The chances of suspects come from what joined anywhere on the site, and a way around
    a shorted boundary may lead over any other; whose turn is in which year is told by a
    ring through all sections.
    """
    shorted = found.boundaries.state == Verdict.SHORTED
    asked = np.isin(found.boundaries.boundary_id, [*boundaries])
    return bool(np.any(shorted & asked)) or _has_turns(found)


def _has_turns(found: Assessment) -> bool:
    rules = found.ground.rules
    tenths = of_shape(rules, RuleShape.TENTH_A_YEAR)
    return any(Sections.under(found.subjects, rules, rule).count for rule in tenths)
