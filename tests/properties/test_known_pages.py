"""Whatever was done to a site, its pages as known then are what they were then."""

import datetime as dt
import tempfile
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from jointmap.changes.change import Change
from jointmap.changes.change_joint import rename, replace_device
from jointmap.changes.load import load
from jointmap.changes.retire_joint import join_on_purpose, retire
from jointmap.changes.revise import revise
from jointmap.errors import JointmapError
from jointmap.pages.asked import assessed
from jointmap.register.codes import Verdict
from jointmap.storage.verifying.checking import check_register
from jointmap.workflows.publish import write_pages
from tests.opened_site import FIRST, ON, opened
from tests.sizes import examples
from tests.small_site import write

pytestmark = pytest.mark.unmeasured

DAY = dt.timedelta(days=1)
TEST = (
    "scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off\n"
    "joint,{},{},potential-shift,routine,measured,-1.20 V,-0.90 V,{},-0.55 V\n"
)
LIMIT = "catalogue,name,from_on\nlimits,Shift ratio shorted 0.50,{}\n"
RULE = "catalogue,name,from_on\nrules,owner-protection-normal,2020-01-01\n"


def sheet(name, text):
    """An operation that loads one sheet."""

    def operation(site, joint, change):
        folder = site.path / f"sent {change.now:%Y-%m-%d %H}"
        write(folder, {name: text.format(joint, change.on, "-0.56 V")})
        told = {"now": change.now, "by": change.by, "reason": change.reason}
        load(site, [folder], **told, rules=True)

    return operation


OPERATIONS = {
    "tested, good": sheet("tests.csv", TEST),
    "tested, bad": sheet("tests.csv", TEST.replace("{},-0.55 V", "-0.85 V,-0.56 V")),
    "limit of today": sheet("adopted.csv", LIMIT.replace("{}", "{1}")),
    "rule": sheet("adopted.csv", RULE),
    "place differs": sheet(
        "joints.csv",
        "tag,boundary,area,state,latitude,longitude\n{},B-1,West,in duty,31.5,-41.8\n",
    ),
    "corrected": lambda site, _joint, change: revise(
        site, "test", "2025-03-01", {"a_off": f"-1.{change.now:%H} V"}, change
    ),
    "method corrected": lambda site, _joint, change: revise(
        site, "test", "2025-03-01", {"tested_on": "2024-03-01"}, change
    ),
    "renamed": lambda site, joint, change: rename(
        site, joint, f"{joint}x{change.now:%j}", change
    ),
    "replaced": lambda site, joint, change: replace_device(
        site, joint, {"serial": "K7"}, change
    ),
    "cut out": lambda site, joint, change: retire(site, joint, "cut out", change),
    "joined": lambda site, _joint, change: join_on_purpose(
        site, "B-1", "head", None, change
    ),
}
STEPS = st.lists(
    st.tuples(
        st.sampled_from(sorted(OPERATIONS)),
        st.sampled_from(["J-1", "J-2"]),
        st.integers(0, 2),  # days that passed before it
    ),
    min_size=2,
    max_size=6,
)


def seen(site, folder, known):
    """Return the bytes of every page, and each joint's verdict and last day."""
    write_pages(site, folder, on=ON, known=known)
    files = {str(p.relative_to(folder)): p for p in folder.rglob("*") if p.is_file()}
    with assessed(site, ON, known) as (found, _):
        verdicts = [list(Verdict)[code] for code in found.joints.verdict]
        days = found.items.last_allowed_on.astype(str).tolist()
    return {n: p.read_bytes() for n, p in files.items()}, verdicts, days


def last_day(site):
    """Return the day of the last entry, as pages name it."""
    with assessed(site, ON, None) as (_, frame):
        return frame.known


def play(site, place, steps, *, strict):
    """Do all steps; return what was seen at the end of each day."""
    now, then = FIRST, {}
    for number, (operation, joint, days) in enumerate(steps):
        now += days * DAY + dt.timedelta(hours=1)
        try:
            change = Change(now.date(), now, "T1", operation, "A1")
            OPERATIONS[operation](site, joint, change)
        except JointmapError:
            assert not strict, operation
            continue  # refused: nothing of it was kept
        # What was known already leaves no entry: the day stays that of the last one.
        then[last_day(site)] = seen(site, place / f"then {number}", None)
    return then


def check(steps, *, strict=False):
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        site = opened(place)
        then = play(site, place, steps, strict=strict)
        for day, pages in then.items():
            assert seen(site, place / f"known {day}", day) == pages
        assert check_register(site.register).problems == ()
        site.register.close()
    return then


def test_every_operation_leaves_what_was_known_before():
    steps = [(name, "J-1", 1) for name in OPERATIONS if name != "renamed"]
    then = check([*steps, ("renamed", "J-2", 1)], strict=True)
    fingerprints = {pages[0]["index.html"] for pages in then.values()}
    answers = {(*verdicts, *days) for _, verdicts, days in then.values()}
    assert (len(fingerprints), len(answers) > 3) == (len(OPERATIONS), True)


@examples(4)
@example([("rule", "J-1", 0), ("rule", "J-1", 1)])
@example([("corrected", "J-1", 0), ("renamed", "J-1", 1)])
@given(STEPS)
def test_pages_as_known_then_are_as_they_were_then(steps):
    check(steps)
