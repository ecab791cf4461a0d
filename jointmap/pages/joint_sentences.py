"""What is said of one joint in one sentence."""

import numpy as np

from jointmap.pages.due.steps import because_of
from jointmap.pages.showing import Showing, day_of
from jointmap.pages.shown_tests import reason_sentence
from jointmap.register.codes import Subject, Verdict, code_of, word_of
from jointmap.sections import JOINT_REASONS
from jointmap.wording import say


def joint_reason(showing: Showing, row: int) -> str:
    """Return why the joint in ``row`` of the joint states is called what it is."""
    states = showing.assessed.joints
    id_ = JOINT_REASONS[int(states.reason[row])]
    joint = showing.joints[int(states.joint_id[row])]
    boundary = showing.assessed.boundaries
    own = boundary.boundary_id == joint.boundary_id
    test = int(states.test_row[row])
    values = {
        "boundary": showing.boundaries[joint.boundary_id].name,
        "count": int(boundary.suspects[own].sum()),
        "tested": day_of(showing.assessed.tests.tested_on[test]) if test >= 0 else "",
        "reason": reason_sentence(showing, test) if test >= 0 else "",
        "repaired": what_was_done(showing, row),
    }
    told = say(id_, values)
    tried = _tried_since(showing, int(states.tried_row[row]))
    return f"{told} {tried}" if tried else told


def _tried_since(showing: Showing, test: int) -> str:
    """Return what a later test that could not decide said; blank for none."""
    found = showing.assessed
    undecided = code_of(Verdict.INCONCLUSIVE)
    if test < 0 or found.judgements.verdict[test] != undecided:
        return ""
    values = {
        "tested": day_of(found.tests.tested_on[test]),
        "reason": reason_sentence(showing, test),
    }
    return say("joint.tried_since", values)


def what_was_done(showing: Showing, row: int) -> str:
    """Return what was done last to the joint: a recorded repair, or a new device."""
    found = showing.assessed
    done, fitted = found.repaired_on[row], found.ground.joints.fitted_on[row]
    new = np.isnat(done) or fitted > done
    word = "joint.replaced" if new else "joint.repaired"
    return say(word, {"day": day_of(fitted if new else done)})


def joint_summary(showing: Showing, id_: int) -> str:
    """Return verdict, its reason, and the next date with its reason."""
    row = showing.joint_rows[id_]
    verdict = str(word_of(Verdict, int(showing.assessed.joints.verdict[row])))
    item = showing.item_rows.get((code_of(Subject.JOINT), id_))
    parts = [verdict.capitalize(), joint_reason(showing, row)]
    if item is None:
        parts.append(say("joint.no_due", {"state": showing.joints[id_].state}))
    else:
        parts.append(because_of(showing, item)[0])
    return " ".join(f"{part.rstrip('.')}." for part in parts)
