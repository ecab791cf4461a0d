"""Role x kind of record x act, through the one place where rows are written."""

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from jointmap.errors import Refused
from jointmap.register import ABOUT_THE_ROW, FORMS, Decision, Joint, Person
from jointmap.register.codes import DecisionKind, JointState, PathKind, PathState
from jointmap.register.rights.authority import change_faults, kind_faults
from jointmap.register.rights.needed import LOOKED_AT, Changed, acts_of, decision_needed
from jointmap.register.rights.recorder import Standing
from jointmap.register.rights.roles import (
    FOR_TWO,
    LONGEST_DEFERRAL_DAYS,
    MAY_APPROVE,
    MAY_CORRECT,
    MAY_DECIDE,
    Role,
)
from jointmap.storage import Register
from jointmap.wording.problems import line_of
from tests.opened_site import FIRST, findings, opened
from tests.roles_site import (
    CODES,
    MAKE,
    NOBODY,
    NOON,
    TODAY,
    about,
    corrected,
    decision,
    id_of,
    limit,
    register_of_roles,
    rule,
    with_its_decision,
)
from tests.storage.samples import DAY, fill, joint, person, unasked

# Written by hand from what the trade's people do, not from the program's table.
TABLE = Path(__file__).with_name("role_by_kind.csv").read_text(encoding="utf-8")
MATRIX = {row["kind"]: row for row in csv.DictReader(TABLE.splitlines())}
EVERYBODY = {**{str(r): code for r, code in CODES.items()}, "boss": NOBODY}


@pytest.fixture(scope="module")
def register(tmp_path_factory):
    made = register_of_roles(tmp_path_factory.mktemp("roles"))
    yield made
    made.close()


class Undone(Exception):  # noqa: N818 - no fault
    """Ends a transaction that was allowed, so that the next finds the same state."""


def undo():
    raise Undone


def refusals(register, by, do):
    """Return what is refused when ``by`` does it; empty if it was taken."""
    try:
        with register.write(NOON + DAY, by, "try") as job:
            do(job)
            job.check_permission()
            undo()
    except Undone:
        return []
    except Refused as refused:
        return list(refused.problems)


def state_of(register):
    with register.read() as state:
        return state.last.fingerprint


def add(kind, who=""):
    def run(job):
        record = with_its_decision(job, MAKE[kind](2))
        if (kind, who) == ("decision", Role.AUDITOR):
            record = seen_by(Role.AUDITOR)  # an auditor's only decision
        job.add(record)

    return run


def seen_by(role, subject="entry", key="1", person=None):
    facts = {"person_id": id_of(person or role), "second_person_id": None}
    return decision("D-4", DecisionKind.SEEN, subject, key, **facts)


def correct(kind):
    def run(job):
        id_, (_, old) = next(iter(job.known(kind).by_id.items()))
        job.revise(id_, corrected(with_its_decision(job, old)))

    return run


def test_the_matrix_names_every_kind_and_every_role():
    assert set(MATRIX) == set(FORMS) == set(MAKE)
    assert all(set(row) == {"kind", *map(str, Role)} for row in MATRIX.values())


@pytest.mark.parametrize("kind", FORMS)
@pytest.mark.parametrize("who", EVERYBODY)
def test_role_by_kind(register, who, kind):
    before = state_of(register)
    may = MATRIX[kind].get(who, "")
    for act, do, allowed in (
        ("record a new", add(kind, who), "add" in may),
        ("correct a", correct(kind), "correct" in may),
    ):
        found = refusals(register, EVERYBODY[who], do)
        said = " ".join(line_of(p) for p in found)
        assert bool(found) != allowed, (act, said)
        if found:
            assert f"{act} {kind.replace('_', ' ')}; roles that may: register" in said
            assert f"{EVERYBODY[who]} ({who})" in said or "'boss', is none" in said
    assert state_of(register) == before


@pytest.mark.parametrize("kind", DecisionKind)
@pytest.mark.parametrize("who", EVERYBODY)
def test_role_by_decision(register, who, kind):
    """Who may record which decision; the one who decided must be one of them too."""
    more = {"until_on": TODAY + 9 * DAY, "authority": "head", **about(kind)}
    if kind in {DecisionKind.SEEN, DecisionKind.RUN_BY_ONE}:
        return  # by oneself only: below
    made = decision("D-9", kind, **more)
    may = MAY_DECIDE[kind]
    found = refusals(register, EVERYBODY[who], lambda job: job.add(made))
    assert bool(found) == (who not in may), found
    decider = [*EVERYBODY].index(who) + 1
    second = id_of(Role.AUDITOR if who != Role.AUDITOR else Role.ENGINEER)
    made = decision("D-9", kind, person_id=decider, second_person_id=second, **more)
    found = refusals(register, CODES[Role.KEEPER], lambda job: job.add(made))
    assert bool(found) == (who not in may), found


@pytest.mark.parametrize("kind", sorted(FOR_TWO))
@pytest.mark.parametrize("second", [*EVERYBODY, None])
def test_two_persons_of_whom_the_second_may_approve(register, kind, second):
    more = {"until_on": TODAY + 9 * DAY, "authority": "head", **about(kind)}
    ids = {w: n for n, w in enumerate(EVERYBODY, start=1)} | {None: None}
    made = decision(
        "D-9", kind, second_person_id=ids[second],
        person_id=id_of(Role.ENGINEER), **more,
    )  # fmt: skip
    found = refusals(register, CODES[Role.KEEPER], lambda job: job.add(made))
    allowed = second in MAY_APPROVE and second != Role.ENGINEER
    assert bool(found) != allowed, found
    if second == Role.ENGINEER:
        assert "both are the same; accepted as second person: W0, W3" in line_of(
            found[0]
        )


CHANGES = {
    "a rule": lambda job: job.add(rule("R-9")),
    "a limit": lambda job: job.add(limit("L-9")),
    "a model": lambda job: job.add(MAKE["model"](9)),
    "a rule ended": lambda job: job.revise(1, rule("R-1", until_on=TODAY)),
    "reach of a reading": lambda job: job.revise(1, corrected(MAKE["site"](1))),
    "a role that may approve": lambda job: job.add(Person(code="N", role="auditor")),
    "a boundary joined": lambda job: job.revise(
        1, replace(MAKE["boundary"](1), joined_by="me", joined_from_on=TODAY)
    ),
    "an approver made planner": lambda job: job.revise(
        id_of(Role.AUDITOR), Person(code=CODES[Role.AUDITOR], role="planner")
    ),
    "an approver by another code": lambda job: job.revise(
        id_of(Role.AUDITOR), Person(code="N", role="auditor")
    ),
    "a joint cut out": lambda job: job.revise(1, joint_in(JointState.REMOVED)),
    "a joint left": lambda job: job.revise(1, joint_in(JointState.OUT_OF_DUTY)),
}


def joint_in(state):
    return replace(joint("J-1"), state=state)


@pytest.mark.parametrize("change", CHANGES)
def test_no_change_of_consequence_without_its_own_decision(register, change):
    (found,) = refusals(register, CODES[Role.KEEPER], CHANGES[change])
    assert found.id == "role.no_decision"


def test_an_old_decision_is_no_cover_for_a_new_rule(register):
    old = register_with(register, decision("D-old", DecisionKind.ADOPTED))
    (found,) = refusals(
        register,
        CODES[Role.ENGINEER],
        lambda job: job.add(rule("R-9", decision_id=old)),
    )
    assert "an older decision is not enough" in line_of(found)


def register_with(register, record):
    with register.read() as state:
        known = {d.number: i for i, d in state.records(Decision).items()}
    return known.get(record.number) or fill(register, record, now=NOON + DAY)[0]


def test_a_joint_left_in_place_asks_for_two(register):
    def left(second):
        def run(job):
            more = {"second_person_id": second}
            job.add(decision("D-8", DecisionKind.RELEASED, "joint", "J-1", **more))
            job.revise(1, joint_in(JointState.OUT_OF_DUTY))

        return run

    assert refusals(register, CODES[Role.ENGINEER], left(id_of(Role.AUDITOR))) == []
    (found,) = refusals(register, CODES[Role.ENGINEER], left(None))
    assert found.id == "second.lacks"


@pytest.mark.parametrize(
    ("do", "act"),
    [
        (lambda job: job.add(bond("BP-1")), "record a bond that is meant to join"),
        (lambda job: job.revise(1, bond("P-1")), "record a bond that is meant to join"),
    ],
)
def test_a_bond_on_purpose_is_not_recorded_in_the_field(register, do, act):
    for role in (Role.TECHNICIAN, Role.CONTRACTOR, Role.PLANNER):
        said = " ".join(line_of(p) for p in refusals(register, CODES[role], do))
        assert act in said
    assert refusals(register, CODES[Role.ENGINEER], do) == []


def bond(name):
    facts = {"kind": PathKind.BOND_ON_PURPOSE, "state": PathState.JOINING}
    return replace(MAKE["path"](1), name=name, **facts)


OTHERWISE = {
    "number": "D-9",
    "kind": DecisionKind.RELEASED,
    "person_id": 2,
    "second_person_id": 4,
    "subject": "boundary",
    "subject_key": "J-2",
    "decided_on": TODAY - DAY,
    "until_on": TODAY,
    "why": "better said",
    "authority": "somebody else",
}


def test_each_column_of_a_decision_is_tried():
    names = {c.name for c in FORMS["decision"].columns}
    assert set(OTHERWISE) == names - set(ABOUT_THE_ROW)


@pytest.mark.parametrize("field", OTHERWISE)
def test_what_was_decided_is_not_corrected(register, field):
    other = OTHERWISE
    changed = replace(MAKE["decision"](1), **{field: other[field]})
    found = refusals(register, CODES[Role.KEEPER], lambda job: job.revise(1, changed))
    assert "decision.stays" in [p.id for p in found]


def test_nobody_raises_himself(tmp_path):
    register = register_of_roles(tmp_path)
    technician = CODES[Role.TECHNICIAN]

    def raised(job):
        id_ = id_of(Role.TECHNICIAN)
        job.revise(id_, Person(code=technician, role=str(Role.KEEPER)))
        who = {"person_id": id_, "second_person_id": id_of(Role.AUDITOR)}
        made = decision("D-7", DecisionKind.ADOPTED, **who)
        job.add(rule("R-7", decision_id=job.add(made)))

    said = " ".join(line_of(p) for p in refusals(register, technician, raised))
    assert f"{technician} (field technician) may not correct a person" in said
    assert "may not record a new rule" in said
    # One who is raised by two acts by the new role from the next delivery on.
    made = decision("D-6", DecisionKind.ROLE_GIVEN, "person", technician)
    new = Person(code=technician, role=str(Role.ENGINEER))
    with register.write(NOON + DAY, CODES[Role.KEEPER], "grown") as job:
        job.add(made)
        job.revise(id_of(Role.TECHNICIAN), new)
    assert refusals(register, technician, add("structure")) == []
    register.close()


@pytest.mark.parametrize("days", [1, LONGEST_DEFERRAL_DAYS, LONGEST_DEFERRAL_DAYS + 1])
def test_the_longest_deferral(register, days):
    more = {"until_on": TODAY + days * DAY, "authority": "head"}
    made = decision("D-5", DecisionKind.DEFERRED, "joint", "J-1", **more)
    found = refusals(register, CODES[Role.PLANNER], lambda job: job.add(made))
    too_long = ["defer.too_long"] if days > LONGEST_DEFERRAL_DAYS else []
    assert [p.id for p in found] == too_long


@pytest.mark.parametrize(
    ("by", "person", "subject", "key", "says"),
    [
        (Role.AUDITOR, Role.AUDITOR, "entry", "1", ""),
        (Role.ENGINEER, Role.ENGINEER, "Entry", " 1 ", ""),
        (Role.PLANNER, Role.PLANNER, "entry", "1", "role.may_not"),
        (Role.KEEPER, Role.AUDITOR, "entry", "1", "seen.own_name"),
        (Role.AUDITOR, Role.AUDITOR, "entry", "99", "seen.what"),
        (Role.AUDITOR, Role.AUDITOR, "entry", "one", "seen.what"),
        (Role.AUDITOR, Role.AUDITOR, "rule", "1", "seen.what"),
        (Role.KEEPER, Role.KEEPER, "entry", "2", "seen.same"),
        (Role.ENGINEER, Role.ENGINEER, "entry", "2", "seen.same"),
    ],
)
def test_who_may_say_what_was_seen(tmp_path, by, person, subject, key, says):
    """Entry 2 was recorded by the keeper, and decided by the engineer."""
    register = register_of_roles(tmp_path)
    own = decision("D-3", DecisionKind.ADOPTED, person_id=id_of(Role.ENGINEER))
    with register.write(NOON + DAY, CODES[Role.KEEPER], "rules") as job:
        job.add(rule("R-3", decision_id=job.add(own)))
    made = seen_by(by, subject, key, person)
    found = refusals(register, CODES[by], lambda job: job.add(made))
    assert [p.id for p in found] == ([says] if says else [])
    register.close()


@pytest.fixture
def alone(tmp_path):
    """A register with one who may approve, and a technician."""
    made = Register.create(f"sqlite:///{tmp_path}/one.sqlite", "X", bytes(32))
    records = [person("K"), person("T", role="field technician"), MAKE["site"](1)]
    with made.write(NOON, "K", "first") as job:
        for record in records:
            job.add(record)
    yield made
    made.close()


def by_one(number, kind, subject="site", key="X", **more):
    facts = {"person_id": 1, "second_person_id": None}
    return decision(number, kind, subject, key, **{**facts, **more})


def adopt(job):
    made = by_one("D-1", DecisionKind.ADOPTED)
    job.add(rule(decision_id=job.add(made)))


def test_one_person_runs_a_small_site_once_it_is_said_until_the_second_comes(alone):
    (found,) = refusals(alone, "K", adopt)
    assert "first records a decision 'run by one person'" in line_of(found)
    with alone.write(NOON + DAY, "K", "alone") as job:
        job.add(by_one("D-0", DecisionKind.RUN_BY_ONE))
        adopt(job)
    with alone.write(NOON + 2 * DAY, "K", "no longer alone") as job:
        job.add(Person(code="A", role="auditor"))
        job.add(by_one("D-2", DecisionKind.ROLE_GIVEN, "person", "A"))
    exception = by_one("D-3", DecisionKind.ACCEPTED_EXCEPTION, "instrument", "M")
    (found,) = refusals(alone, "K", lambda job: job.add(exception))
    assert found.values["accepted"] == "A"
    again = by_one("D-4", DecisionKind.RUN_BY_ONE)
    (found,) = refusals(alone, "K", lambda job: job.add(again))
    assert "(A, K); the site is not run by one person" in line_of(found)


def test_one_person_is_the_register_keeper_himself(alone):
    other = by_one("D-0", DecisionKind.RUN_BY_ONE, person_id=None)
    (found,) = refusals(alone, "K", lambda job: job.add(other))
    assert found.id == "one.own_name"
    said = refusals(
        alone, "T", lambda job: job.add(by_one("D-0", DecisionKind.RUN_BY_ONE))
    )
    assert {"role.may_not"} <= {p.id for p in said}


def test_the_first_of_two_must_be_named(alone):
    nobody = by_one("D-0", DecisionKind.ADOPTED, person_id=None)
    (found,) = refusals(alone, "K", lambda job: job.add(nobody))
    assert found.id == "second.no_person"


def test_a_person_who_comes_in_now_decides_nothing_yet(alone):
    def run(job):
        new = job.add(Person(code="P", role="planner"))
        made = by_one("D-0", DecisionKind.REMEDIAL_PLAN, person_id=new)
        job.add(made)

    (found,) = refusals(alone, "K", run)
    assert "a person who comes in with this delivery may not record" in line_of(found)


@pytest.mark.parametrize("word", ["boss", "", "Register Keeper", "technician"])
def test_a_role_that_is_no_word_is_refused(alone, word):
    (found,) = refusals(alone, "K", lambda job: job.add(Person(code="Z", role=word)))
    assert "accepted: register keeper, integrity engineer, planner" in line_of(found)


def test_a_word_on_record_stays_and_carries_nothing(register):
    same = Person(code=NOBODY, role="boss", organisation="other")
    id_ = len(CODES) + 1
    keeper = CODES[Role.KEEPER]
    assert refusals(register, keeper, lambda job: job.revise(id_, same)) == []
    found = refusals(register, NOBODY, add("test"))
    assert (
        "'boss', is none of the register's words and carries no authority"
        in line_of(found[0])
    )


def test_rows_without_a_record_are_of_kinds_that_need_no_more(register):
    from jointmap.errors import WrongUse

    with (
        pytest.raises(WrongUse),
        register.write(NOON + DAY, CODES[Role.KEEPER], "many") as job,
    ):
        job.add_plain("rule", [])
    said = refusals(
        register, CODES[Role.OPERATOR], lambda job: job.add_plain("structure", [])
    )
    assert said[0].id == "role.may_not"


def test_a_refusal_names_file_and_line():
    who = Standing("T", {1: person("T", role="planner")})
    (found,) = kind_faults(who, "rule", "adopted.csv:7", is_new=True)
    assert line_of(found).startswith("adopted.csv, line 7: T (planner) may not record")
    lost = Changed(1, None, Person(code="Q", role="?", origin="people.csv:2"))
    (found,) = change_faults(who, [lost])
    assert (found.file, found.line) == ("people.csv", 2)


def test_every_kind_that_needs_more_is_looked_at():
    """No kind that a decision covers can be written past the check."""
    assert {"rule", "limit", "model", "site", "person", "decision"} <= LOOKED_AT
    assert all(set(MAY_CORRECT[kind]) <= set(Role) for kind in FORMS)


def test_only_the_register_opens_a_transaction():
    """What writes without being asked who may is for storage's own tests."""
    root = Path(__file__).parents[3] / "jointmap"
    using = [
        p.relative_to(root).as_posix()
        for p in root.rglob("*.py")
        if "Writing(" in p.read_text(encoding="utf-8")
    ]
    assert using == ["storage/register_file.py"]


def test_a_renamed_joint_and_one_back_in_duty(register):
    def out_and_in(job):
        job.add(decision("D-2", DecisionKind.RELEASED, "joint", "J-1"))
        job.revise(1, joint_in(JointState.REMOVED))
        job.revise(1, replace(joint("J-9"), state=JointState.IN_DUTY))

    assert refusals(register, CODES[Role.ENGINEER], out_and_in) == []
    said = refusals(register, CODES[Role.PLANNER], out_and_in)
    acts = {p.values.get("deed") for p in said}
    assert {"take a joint out of duty, or back", "give a joint another tag"} <= acts
    with register.read() as state:
        assert len(state.records(Joint)) == 1


def test_a_word_that_carries_no_authority_is_a_finding(tmp_path):
    site = opened(tmp_path)
    assert "role_unknown" not in {kind for kind, _, _ in findings(site)}
    with unasked(site.register, FIRST + DAY, "T1", "of an older program") as job:
        job.add(Person(code="Q", role="boss"))
    (found,) = [f for f in findings(site) if f[0] == "role_unknown"]
    assert found[1] == "Q"
    assert "carries no authority. Next: give Q one of: register keeper," in found[2]
    site.register.close()


def test_a_joint_left_in_place_by_one_is_told_on_its_page(tmp_path):
    site = opened(tmp_path)
    made = decision("D-7", DecisionKind.RELEASED, "joint", "J-1")
    made = replace(made, person_id=1, second_person_id=None)
    with unasked(site.register, FIRST + DAY, "T1", "of an older program") as job:
        job.add(replace(made, subject_key="J-9", number="D-8"))
        job.add(made)
        old = job.known("joint").by_id[1][1]
        job.revise(1, replace(old, state=JointState.OUT_OF_DUTY, out_of_duty_on=TODAY))
    (found,) = [f for f in findings(site) if f[0] == "by_one"]
    assert found[1] == "J-1"
    assert "D-7 of 2026-01-01 (released) stands by one person, T1" in found[2]
    site.register.close()


def test_a_new_joint_is_no_act_of_its_own():
    new = Changed(1, None, joint("J-1"))
    assert (list(acts_of(new)), decision_needed(new)) == ([], None)
