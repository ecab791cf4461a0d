"""What would stop a reader is found before it is kept, with the row that does it."""

import datetime as dt
from contextlib import suppress
from functools import partial

import numpy as np
import pytest

from jointmap.attached.within_limits import TimeIsUp, used_seconds, within
from jointmap.changes import culprit
from jointmap.changes.change import Change
from jointmap.changes.change_joint import rename
from jointmap.changes.load import load
from jointmap.changes.revise import revise
from jointmap.errors import Refused
from jointmap.wording.problems import line_of
from jointmap.workflows import trial
from jointmap.workflows.opening import new_site
from jointmap.workflows.trial import READERS
from tests.opened_site import FIRST, KEY, ON, opened, sent
from tests.small_site import SHEETS, write

LATER = FIRST + dt.timedelta(days=60)
JOINTS = "tag,boundary,area,state\n"
CHANGE = Change(LATER.date(), LATER, "T1", "a reason")


@pytest.fixture
def site(tmp_path):
    made = opened(tmp_path, tried=True)
    yield made
    made.register.close()


def fingerprint(site):
    with site.register.read() as state:
        return state.last.fingerprint


def send(site, sheets, **more):
    folder = write(site.path / "sent", sheets)
    return load(site, [folder], now=LATER, by="T1", reason="why", **more)


def stops_at(monkeypatch, tag, act=None):
    """Plant a reader that a joint of this tag stops."""

    def reader(showing, _):
        if tag in {joint.tag for joint in showing.joints.values()}:
            act() if act else [].pop()

    monkeypatch.setitem(READERS, "map", reader)


ROWS = "".join(f"K-{n},B-1,East,planned\n" for n in range(40))


@pytest.mark.parametrize(("place", "dry_run"), [(0, False), (17, True), (39, False)])
def test_the_row_that_stops_a_reader_is_named_and_nothing_is_kept(
    site, monkeypatch, place, dry_run
):
    stops_at(monkeypatch, f"K-{place}")
    before = fingerprint(site)
    others = {"people.csv": "code,role\nT7,fitter\n", "joints.csv": JOINTS + ROWS}
    with pytest.raises(Refused) as refused:
        send(site, others, dry_run=dry_run)
    (problem,) = refused.value.problems
    assert (problem.file, problem.line) == ("joints.csv", place + 2)
    told = line_of(problem)
    assert "'map' would stop for everybody (IndexError: pop from empty list)" in told
    assert "nothing was recorded" in told
    assert fingerprint(site) == before


def test_without_that_row_the_rest_loads(site, monkeypatch):
    stops_at(monkeypatch, "K-40")
    assert send(site, {"joints.csv": JOINTS + ROWS}).accepted["joint"] == 40


# The first stop may come while garbage is collected, which tells it and goes on.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_a_reader_that_does_not_end_is_refused_too(site, monkeypatch):
    def endless():
        while True:
            np.ones(1000).sum()

    stops_at(monkeypatch, "K-1", endless)
    monkeypatch.setattr(trial, "LEAST_SECONDS", 3.0)
    before = fingerprint(site)
    with pytest.raises(Refused) as refused:
        send(
            site,
            {"joints.csv": f"{JOINTS}K-0,B-1,East,planned\nK-1,B-1,East,planned\n"},
        )
    assert "it does not come to an end" in line_of(refused.value.problems[0])
    assert refused.value.problems[0].line == 3
    assert fingerprint(site) == before


def test_a_reader_that_asks_for_all_memory_is_refused_too(site, monkeypatch):
    stops_at(monkeypatch, "K-1", lambda: np.ones(2**45))
    with pytest.raises(Refused) as refused:
        send(site, {"joints.csv": f"{JOINTS}K-1,B-1,East,planned\n"})
    assert "more memory than there is" in line_of(refused.value.problems[0])


def test_a_search_that_takes_too_long_names_the_rows_that_are_left(site, monkeypatch):
    stops_at(monkeypatch, "K-9")
    monkeypatch.setattr(culprit, "SEARCH_SECONDS", 0.0)
    with pytest.raises(Refused) as refused:
        send(site, {"joints.csv": JOINTS + ROWS})
    told = [line_of(p) for p in refused.value.problems]
    assert "lies between joints.csv:2 and joints.csv:41" in told[-1]


@pytest.mark.parametrize(
    "change",
    [
        lambda site: rename(site, "J-1", "K-1", CHANGE),
        lambda site: revise(site, "joint", "J-1", {"remark": "poison"}, CHANGE),
    ],
    ids=["rename", "revise"],
)
def test_each_other_change_is_tried_as_well(site, monkeypatch, change):
    def reader(showing, _):
        joint = showing.joints[1]
        assert (joint.tag, joint.remark) == ("J-1", ""), "met poison"

    monkeypatch.setitem(READERS, "findings", reader)
    before = fingerprint(site)
    with pytest.raises(Refused) as refused:
        change(site)
    assert "'findings' would stop for everybody" in line_of(refused.value.problems[0])
    assert fingerprint(site) == before


def test_a_site_that_stops_a_reader_already_can_still_be_mended(site, monkeypatch):
    stops_at(monkeypatch, "J-1")
    report = send(site, {"joints.csv": f"{JOINTS}K-1,B-1,East,planned\n"})
    assert report.accepted["joint"] == 1
    tried = []
    monkeypatch.setitem(READERS, "export", lambda *_: tried.append("export"))
    rename(site, "J-1", "K-2", CHANGE)
    assert tried  # those after it are tried all the same


def test_every_reader_is_tried_on_what_is_sent(site, monkeypatch):
    tried = []
    for name in READERS:
        noted = partial(lambda n, _, about: tried.append((n, about)), name)
        monkeypatch.setitem(READERS, name, noted)
    send(site, {"joints.csv": f"{JOINTS}K-1,B-1,East,planned\n"})
    assert [name for name, _ in tried] == list(READERS)
    about = tried[0][1]
    assert (about.joints, about.boundaries, about.is_whole) == ((3,), (), False)
    tried.clear()
    send(site, {"instruments.csv": "name,kind\nM-8,meter\n"})
    assert tried[0][1].joints == ()
    tried.clear()
    rows = "name,structure_a,structure_b,purpose\nB-9,S1,Plant,protection\n"
    send(site, {"boundaries.csv": rows})
    assert tried[0][1].boundaries == (2,)
    tried.clear()
    send(site, {"structures.csv": "name,kind,is_protected\nS9,plant piping,no\n"})
    assert (tried[0][1].joints, tried[0][1].is_whole) == ((1, 2, 3), True)


def test_a_fitting_record_touches_the_joint_of_its_device(site, monkeypatch):
    seen = []
    monkeypatch.setitem(READERS, "due", lambda _, about: seen.append(about))
    rows = "joint,device_fitted_on,installed_on\nJ-2,2020-01-05,2020-01-05\n"
    send(site, {"installations.csv": rows})
    rows = (
        "subject,name,latitude,longitude,correction_reason\njoint,J-1,31.41,-41.9,x\n"
    )
    send(site, {"positions.csv": rows})
    assert [about.joints for about in seen] == [(2,), (1,)]


def far_joints(site, count=60):
    """Load joints on a boundary of their own, so that one is a small share of all."""
    boundary = "name,structure_a,structure_b,purpose\nB-9,S1,Plant,protection\n"
    rows = "".join(f"F-{n},B-9,West,planned\n" for n in range(count))
    send(site, {"boundaries.csv": boundary, "joints.csv": JOINTS + rows})


def test_of_a_few_rows_only_what_they_touch_is_read(site, monkeypatch):
    far_joints(site)
    seen = []

    def noted(showing, _):
        seen.append({joint.tag for joint in showing.joints.values()})

    monkeypatch.setitem(READERS, "map", noted)
    send(site, {"joints.csv": f"{JOINTS}K-1,B-1,East,planned\n"})
    assert seen == [{"J-1", "J-2", "K-1"}]


def test_what_stops_on_a_part_alone_is_no_reason_to_refuse(site, monkeypatch):
    far_joints(site)
    tried = []

    def partly(showing, _):
        tried.append(len(showing.joints))
        assert len(showing.joints) > 60

    monkeypatch.setitem(READERS, "map", partly)
    send(site, {"joints.csv": f"{JOINTS}K-1,B-1,East,planned\n"})
    assert tried == [3, 63]


def test_limits_end_with_the_work():
    from resource import RLIMIT_AS, RLIMIT_CPU, getrlimit
    from signal import ITIMER_PROF, SIGPROF, getitimer, getsignal

    def state():
        limits = [getrlimit(which) for which in (RLIMIT_AS, RLIMIT_CPU)]
        return limits, getitimer(ITIMER_PROF), getsignal(SIGPROF)

    before = state()
    with within(5.0):
        pass
    assert state() == before
    with pytest.raises(TimeIsUp):
        busy(0.2)
    assert state() == before


def test_a_stop_that_was_lost_comes_again():
    def work():
        with suppress(TimeIsUp):
            busy_until(20)
        busy_until(20)

    with pytest.raises(TimeIsUp), within(0.1):
        work()


def busy_until(more):
    until = used_seconds() + more
    while used_seconds() < until:
        pass


def busy(seconds):
    until = used_seconds() + 20
    with within(seconds):
        while used_seconds() < until:
            pass


def test_the_trial_is_of_the_day_at_the_site_or_of_the_training_day(
    tmp_path, monkeypatch
):
    days = []
    noted = partial(lambda showing, _: days.append(showing.frame.on))
    monkeypatch.setitem(READERS, "due", noted)
    for name, fixed_day in (("plain", None), ("trained", ON)):
        site = new_site(tmp_path / name, "SML", KEY, fixed_day)
        sent(site, SHEETS)
        site.register.close()
    assert days == [FIRST.date(), ON]
