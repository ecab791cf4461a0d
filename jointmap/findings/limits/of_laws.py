"""Laws adopted after they had begun to bind."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from jointmap.assessment.site_on_day import day_of
from jointmap.findings.finder import Finder, Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.intervals import citation, late_laws
from jointmap.register.rule_codes import RuleShape

LAW_ADOPTED_LATE = Kind(
    "law_adopted_late", Gravity.FOR_THE_RECORD, "rule", "adopted_on"
)
RULE_LACKS_CONDITION = Kind("rule_lacks_condition", Gravity.LOOK, "rule", "from_on")


@finds(LAW_ADOPTED_LATE)
def adopted_late(seen: Seen) -> Iterator[Found]:
    """Yield each law that was in force here later than it bound something here."""
    found, missed = seen.site.assessed, seen.missed
    for law in late_laws(found.subjects, found.ground.rules_ever):
        rule = seen.site.rule(law.rule_id)
        adopted_on = np.datetime64(rule.from_on, "D")
        own = missed.is_broken & (missed.rule_id == law.rule_id)
        told = seen.finding(
            LAW_ADOPTED_LATE,
            About.called(rule.name),
            "law_adopted_late",
            bound_on=day_of(law.bound_from_on),
            adopted_on=rule.from_on,
            days=int((adopted_on - law.bound_from_on).astype(np.int64)),
            count=law.count,
            subject=rule.subject,
            binds_on=rule.binds_from_on,
            binds_source=rule.binds_from_source,
            broken=int(np.sum(own & (missed.limit_on < adopted_on))),
        )
        yield replace(told, source=found.sources[law.rule_id])


@finds(RULE_LACKS_CONDITION)
def lacking_condition(seen: Seen) -> Iterator[Found]:
    """Yield each rule by tenths for which nobody decided that it may be used."""
    on, held = seen.site.assessed.on, seen.site.assessed.ground.rules.rule_id
    for id_, rule in seen.site.state.rules.items():
        is_now = rule.from_on <= on and not (rule.until_on and rule.until_on < on)
        if rule.shape is RuleShape.TENTH_A_YEAR and is_now and id_ not in held:
            yield seen.finding(
                RULE_LACKS_CONDITION,
                About.called(rule.name),
                "rule_lacks_condition",
                from_on=rule.from_on,
                source=citation(rule),
            )


LAW_FINDERS: tuple[Finder, ...] = (adopted_late, lacking_condition)
