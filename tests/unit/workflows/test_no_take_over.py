"""No acts of one person change who may approve, nor take a joint off the due list."""

import datetime as dt

import pytest

from jointmap.changes.change import Change
from jointmap.changes.decide_held import decide
from jointmap.changes.load import load
from jointmap.changes.retire_joint import Way, retire
from jointmap.changes.revise import revise
from jointmap.changes.see_change import see
from jointmap.errors import Refused, WrongUse
from jointmap.pages.due.page import due_text
from jointmap.register import Held, Joint, Person
from jointmap.register.codes import JointState
from jointmap.register.rights.authority import first_faults, may_begin
from jointmap.register.rights.needed import may_approve
from jointmap.register.rights.recorder import Standing
from jointmap.register.rights.roles import MAY_APPROVE, MAY_BEGIN, Role
from jointmap.storage import Register
from jointmap.wording.problems import line_of
from tests.opened_site import FIRST, findings, opened
from tests.roles_site import MAKE, NOON
from tests.small_site import write
from tests.storage.samples import DAY, fill, person, unasked

LATER = FIRST + 100 * DAY
ON = dt.date(2026, 5, 15)
PEOPLE = "code,role\nE1,integrity engineer\nP1,planner\n"
DECIDED = "number,decided_on,kind,person,second_person,subject,subject_key,why\n"
HIRED = f"{DECIDED}D-E1,2026-01-10,role given,T1,A1,person,E1,hired\n"


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """A site with keeper T1, auditor A1, engineer E1 and planner P1; J-2 overdue."""
    more = {"people.csv": PEOPLE, "decisions.csv": HIRED}
    made = opened(tmp_path_factory.mktemp("take"), more)
    yield made
    made.register.close()


def approvers(site):
    with site.register.read() as state:
        people = state.records(Person).values()
    return sorted((p.code, p.role) for p in people if may_approve(p))


def due(site):
    return due_text(site, on=ON, known=None, until=None, form="csv")


def change(by, second=""):
    return Change(LATER.date(), LATER, by, "a reason", second)


def by_revise(site, kind, key, given, by, second=""):
    revise(site, kind, key, given, change(by, second))


def by_load(site, kind, key, given, by):
    sent(site, kind, key, given | {"correction_reason": "typo"}, by)


def by_held(site, kind, key, given, by):
    """Send other values without a reason, so that they wait, and accept each."""
    sent(site, kind, key, given, by)
    for number in waiting(site, key, given):
        decide(site, number, now=LATER, by=by, reason="so be it", accept=True)


def waiting(site, key, given):
    with site.register.read() as state:
        found = [(n, h) for n, h in state.records(Held).items() if h.is_open]
    return [
        n
        for n, h in found
        if h.subject_key == key and given == {h.column: h.value or ""}
    ]


SHEETS = {"person": ("people.csv", "code"), "joint": ("joints.csv", "tag")}
REST = {"joint": {"boundary": "B-1", "area": "East", "state": "in duty"}, "person": {}}


def sent(site, kind, key, given, by):
    name, column = SHEETS[kind]
    row = {column: key, **REST[kind], **given}
    deliver(site, {name: f"{','.join(row)}\n{','.join(row.values())}\n"}, by)


def deliver(site, sheets, by):
    count = len(list(site.path.iterdir()))
    folder = write(site.path / f"more-{count}", sheets)
    load(site, [folder], now=LATER, by=by, reason="a reason", rules=True)


PATHS = {"revise": by_revise, "load": by_load, "held": by_held}


def tried(path, *words):
    """Do it, or say how it was refused."""
    try:
        PATHS[path](*words)
    except (Refused, WrongUse) as refused:
        return " ".join(line_of(p) for p in refused.problems)
    return ""


@pytest.mark.parametrize("path", PATHS)
def test_one_person_s_acts_leave_the_approvers_as_they_were(site, path):
    before = approvers(site)
    assert [code for code, _ in before] == ["A1", "E1", "T1"]
    for by, code in (("T1", "T1"), ("T1", "A1"), ("E1", "T1"), ("E1", "P1")):
        for role in (*MAY_APPROVE, Role.PLANNER):
            tried(path, site, "person", code, {"role": str(role)}, by)
            assert approvers(site) == before, (by, code, role)
    tried(path, site, "person", "Z9", {"role": "register keeper"}, "T1")
    assert approvers(site) == before


DUTY = [
    *({"state": str(s)} for s in JointState if s is not JointState.IN_DUTY),
    {"in_duty_on": "2020-01-11"},
    {"in_duty_on": "2026-04-01"},
    {"in_duty_on": ""},
]


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("given", DUTY, ids=str)
def test_one_person_s_act_leaves_a_joint_on_the_due_list(site, path, given):
    before = due(site)
    assert ",J-2," in before
    said = tried(path, site, "joint", "J-2", given, "E1")
    assert "two different persons" in said or "'released'" in said
    assert due(site) == before


@pytest.mark.parametrize("how", Way)
def test_nor_does_its_retiring_by_one(site, how):
    before = due(site)
    with pytest.raises(Refused):
        retire(site, "J-2", how, change("T1"))
    assert due(site) == before


@pytest.mark.parametrize("given", [DUTY[0], DUTY[-2]], ids=str)
def test_two_may(tmp_path, given):
    site = opened(tmp_path)
    by_revise(site, "joint", "J-2", given, "T1", "A1")
    with site.register.read() as state:
        assert state.records(Joint)[2].in_duty_on != dt.date(2020, 1, 10) or (
            state.records(Joint)[2].state is not JointState.IN_DUTY
        )
    site.register.close()


def test_an_earlier_day_in_duty_asks_for_one(tmp_path):
    site = opened(tmp_path)
    assert not tried("revise", site, "joint", "J-2", {"in_duty_on": "2020-01-09"}, "T1")
    site.register.close()


def test_a_change_of_who_approves_is_a_finding_until_another_has_seen_it(tmp_path):
    site = opened(tmp_path, {"people.csv": PEOPLE, "decisions.csv": HIRED})
    assert entries_unseen(site) == {"entry 2": ["E1: integrity engineer"]}
    by_revise(site, "person", "E1", {"role": "planner"}, "T1", "A1")
    by_revise(site, "person", "P1", {"organisation": "other"}, "T1")
    assert list(entries_unseen(site)) == ["entry 2", "entry 3"]
    assert entries_unseen(site)["entry 3"] == ["E1: integrity engineer -> planner"]
    for entry in (2, 3):
        see(site, entry, change("A1"))
    assert entries_unseen(site) == {}
    site.register.close()


def entries_unseen(site):
    found = [f for f in findings(site) if "changed who may approve" in f[2]]
    return {f[1]: [f[2].split("approve (")[1].split("; reason")[0]] for f in found}


@pytest.mark.parametrize("role", [Role.AUDITOR, Role.PLANNER, Role.OPERATOR])
def test_the_last_who_may_begin_stays(tmp_path, role):
    """Two who agree neither; to hand over, the next comes first, or together."""
    site = opened(tmp_path)
    said = tried("revise", site, "person", "T1", {"role": str(role)}, "T1", "A1")
    accepted = "first give another person the role register keeper or"
    assert (
        f"T1 is the last on record who may bring people in; accepted: {accepted}"
        in (said)
    )
    by_revise(site, "person", "A1", {"role": "register keeper"}, "T1", "A1")
    by_revise(site, "person", "T1", {"role": str(role)}, "A1", "T1")
    with site.register.read() as state:
        left = [p.code for p in state.records(Person).values() if may_begin(p)]
    assert left == ["A1"]
    site.register.close()


def test_who_is_left_alone_says_so_and_acts_alone(tmp_path):
    """The keeper and the auditor have left; the engineer runs the site."""
    site = opened(tmp_path, {"people.csv": PEOPLE, "decisions.csv": HIRED})
    alone = {
        "decisions.csv": f"{DECIDED}D-0,2026-04-01,run by one person,E1,,site,SML,x\n"
    }
    with pytest.raises(Refused, match=r"one\.are_two"):
        deliver(site, alone, "E1")
    by_revise(site, "person", "T1", {"role": "planner"}, "E1", "A1")
    by_revise(site, "person", "A1", {"role": "planner"}, "E1", "A1")
    assert tried("revise", site, "joint", "J-2", DUTY[0], "E1")
    deliver(site, alone, "E1")
    by_revise(site, "joint", "J-2", DUTY[0], "E1")
    by_revise(site, "person", "P1", {"role": "auditor"}, "E1")
    assert tried("revise", site, "person", "P1", {"role": "planner"}, "E1")
    assert approvers(site) == [("E1", "integrity engineer"), ("P1", "auditor")]
    site.register.close()


@pytest.fixture
def old(tmp_path):
    """A register of an older program, whose people have words of their own."""
    made = Register.create(f"sqlite:///{tmp_path}/old.sqlite", "X", bytes(32))
    fill(made, person("B", role="boss"), person("C", role="auditor"), MAKE["site"](1))
    yield made
    made.close()


def comes(register, role="register keeper"):
    with register.write(NOON + 9 * DAY, "K9", "I am it") as job:
        job.add(Person(code="K9", role=role))


def test_an_old_register_that_nobody_could_begin_has_a_way_in(old):
    comes(old)
    with pytest.raises(Refused), old.write(NOON + 10 * DAY, "K8", "me too") as job:
        job.add(Person(code="K8", role="register keeper"))


def test_who_comes_first_takes_no_role_away(old):
    def taken():
        with old.write(NOON + DAY, "K9", "me") as job:
            job.add(Person(code="K9", role="register keeper"))
            job.revise(2, Person(code="C", role="planner"))

    with pytest.raises(Refused) as refused:
        taken()
    assert [p.id for p in refused.value.problems] == ["role.no_decision"]


@pytest.mark.parametrize("role", MAY_BEGIN)
def test_the_door_stays_shut_once_anybody_came_through(old, role):
    """Whatever the people are now: an older program let the last of them go."""
    with unasked(old, NOON + DAY, "K", "first") as job:
        id_ = job.add(Person(code="K", role=str(role)))
    with unasked(old, NOON + 2 * DAY, "K", "leaves") as job:
        job.revise(id_, Person(code="K", role="planner"))
    for word in MAY_BEGIN:
        with pytest.raises(Refused) as refused:
            comes(old, str(word))
        assert {p.id for p in refused.value.problems} == {
            "role.not_yet",
            "role.no_decision",
        }


def test_a_first_delivery_is_by_somebody_who_may_bring_people_in():
    stranger = Standing("X1", {}, is_first=True)
    assert [p.id for p in first_faults(stranger)] == ["role.first"]
