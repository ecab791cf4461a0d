"""Why a test, a joint and a date are what they are: ids of sentences and values."""

import datetime as dt

import numpy as np

from jointmap.acceptance import REASONS
from jointmap.assessment.assess import Assessment
from jointmap.assessment.limits.deferrals import told_of_deferral
from jointmap.assessment.site_on_day import SiteOnDay, day_of
from jointmap.due_list import Numbers, because, no_numbers
from jointmap.register import Decision
from jointmap.register.codes import Outcome, Verdict
from jointmap.register.paper_states import PaperState, lets_count, state_of
from jointmap.register.ruling import PAPERED
from jointmap.register.told import Told
from jointmap.sections import JOINT_REASONS

# So long a paper may take to the register before its delay is told (judgement).
ON_ITS_WAY_DAYS = 7


def test_reason(found: Assessment, row: int) -> Told:
    """Return why a test's verdict is what it is."""
    said = found.judgements
    values: dict[str, object] = {}
    for name in ("compared", "against"):
        number = float(getattr(said, name)[row])
        if not np.isnan(number):
            values[name] = number
    values["outcome"] = str(list(Outcome)[int(found.tests.outcome[row])])
    return Told(REASONS[int(said.reason[row])], values)


test_reason.__test__ = False  # type: ignore[attr-defined]


def not_counted(found: Assessment, row: int) -> Told | None:
    """Return why a test moves no date; none where it counts."""
    if found.judgements.counts[row]:
        return None
    if found.tests.outcome[row] != Outcome.MEASURED:
        outcome = str(Outcome.at(int(found.tests.outcome[row])))
        return Told("test.not_counted.visit", {"outcome": outcome})
    why = {whose: lacks_told(found, row, whose) for whose in PAPERED}
    lacking = [told for told in why.values() if told is not None]
    if len(lacking) > 1:
        return Told("test.not_counted.both", why)
    if lacking:
        return Told("test.not_counted.papers", {"why": lacking[0]})
    return Told("test.not_counted.method")


def lacks_told(found: Assessment, row: int, whose: str) -> Told | None:
    """Return for want of which paper of a person or an instrument a test counts not."""
    code = getattr(found.tests, f"{whose}_paper")[row]
    if lets_count(code):
        return None
    word = PaperState.at(int(state_of(code))).replace(" ", "_")
    return Told(f"paper.why.{whose}.{word}")


def undecided_reason(found: Assessment, row: int) -> Told:
    """Return why a test decided nothing: by its reading, or as one that is none."""
    reason = test_reason(found, row)
    if found.judgements.shows[row] == found.judgements.verdict[row]:
        return reason
    return Told(
        "test.shows_nothing", {"reason": reason, "why": not_counted(found, row)}
    )


def due_because(found: Assessment, row: int) -> tuple[Told, str]:
    """Return why a due item is due when it is, and the source of what governs."""
    id_, values = because(
        row, found.candidates, found.items, found.sources, numbers_of(found)
    )
    rule = int(found.items.rule_id[row])
    governed = found.items.governing[row] >= 0
    return Told(id_, values), found.sources.get(rule, "") if governed else ""


def numbers_of(found: Assessment) -> Numbers:
    """Return what gives the numbers of a risk sentence, with a model in force."""
    return found.risk.numbers if found.risk else no_numbers


def joint_reason(site: SiteOnDay, row: int) -> Told:
    """Return why the joint in ``row`` of the joint states is called what it is."""
    states = site.assessed.joints
    joint = site.joints[int(states.joint_id[row])]
    boundary = site.assessed.boundaries
    own = boundary.boundary_id == joint.boundary_id
    test = int(states.test_row[row])
    values = {
        "boundary": site.boundaries[joint.boundary_id].name,
        "count": int(boundary.suspects[own].sum()),
        "tested": day_of(site.assessed.tests.tested_on[test]) if test >= 0 else "",
        "reason": undecided_reason(site.assessed, test) if test >= 0 else "",
        "repaired": what_was_done(site, row),
    }
    told = Told(JOINT_REASONS[int(states.reason[row])], values)
    tried = _tried_since(site.assessed, int(states.tried_row[row]))
    return told if tried is None else Told("joint.both", {"one": told, "other": tried})


def deferral_told(site: SiteOnDay, decision: Decision, row: int) -> Told:
    """Return what is told of a deferral beside the due item of ``row``."""
    who = site.person(decision.person_id)
    told = told_of_deferral(site.assessed, decision, row, who, _late(site, decision))
    return Told(told.id, {**told.values, "law": past_law(site, decision.until_on, row)})


def past_law(site: SiteOnDay, until: dt.date | None, row: int) -> Told | str:
    """Return by how many days a test is put off beyond the last day by law."""
    law = day_of(site.legal_on[row])
    if law is None or until is None or until <= law:
        return ""
    return Told("defer.past_law", {"law": law, "days": (until - law).days})


def _late(site: SiteOnDay, decision: Decision) -> Told | str:
    """Return the day on which a decision was recorded, where that was much later."""
    entries, decisions = site.state.decision_entries, site.state.decisions
    id_ = next(i for i, d in decisions.items() if d.number == decision.number)
    recorded = site.state.local_day(entries[id_])
    if (recorded - decision.decided_on).days <= ON_ITS_WAY_DAYS:
        return ""
    return Told("defer.recorded", {"recorded": recorded})


def _tried_since(found: Assessment, test: int) -> Told | None:
    """Return what a later test that could not decide said, if there is one."""
    undecided = Verdict.INCONCLUSIVE.code
    if test < 0 or found.judgements.shows[test] != undecided:
        return None
    values = {
        "tested": day_of(found.tests.tested_on[test]),
        "reason": undecided_reason(found, test),
    }
    return Told("joint.tried_since", values)


def what_was_done(site: SiteOnDay, row: int) -> Told:
    """Return what was done last to the joint: a recorded repair, or a new device."""
    found = site.assessed
    done, fitted = found.repaired_on[row], found.ground.joints.fitted_on[row]
    new = np.isnat(done) or fitted >= done
    word = "joint.replaced" if new else "joint.repaired"
    return Told(word, {"day": day_of(fitted if new else done)})
