"""What is said of one joint in one sentence."""

from jointmap.assessment.reasons_told import joint_reason
from jointmap.pages.due.steps import because_of
from jointmap.pages.showing import Showing
from jointmap.register.codes import Subject, Verdict
from jointmap.wording import say, say_told


def joint_summary(showing: Showing, id_: int) -> str:
    """Return verdict, its reason, and the next date with its reason."""
    row = showing.joint_rows[id_]
    verdict = str(Verdict.at(int(showing.assessed.joints.verdict[row])))
    item = showing.item_rows.get((Subject.JOINT.code, id_))
    parts = [verdict.capitalize(), say_told(joint_reason(showing, row))]
    if item is None:
        parts.append(say("joint.no_due", {"state": showing.joints[id_].state}))
    else:
        parts.append(because_of(showing, item)[0])
    return " ".join(f"{part.rstrip('.')}." for part in parts)
