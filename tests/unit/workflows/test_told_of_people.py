"""What one person alone did is told until another has looked at it."""

import datetime as dt
from dataclasses import replace

import pytest

from jointmap.changes.change import Change
from jointmap.changes.retire_joint import retire
from jointmap.changes.see_change import see
from jointmap.errors import Refused
from jointmap.pages.dossier.page import dossier_html
from jointmap.register import FORMS, Person
from jointmap.register.codes import DecisionKind, JointState
from jointmap.register.columns_judged import JUDGED_BY
from jointmap.register.fields import ABOUT_THE_ROW
from jointmap.register.rights.roles import Role
from jointmap.storage import Register
from jointmap.wording.problems import line_of
from jointmap.workflows.defer import Asked, defer
from tests.opened_site import FIRST, ON, findings, opened, sent
from tests.roles_site import CODES, NOON, decision, id_of, register_of_roles
from tests.storage.samples import DAY, joint, person

LATER = FIRST + 100 * DAY
PEOPLE = "code,role\nE1,integrity engineer\nP1,planner\nC1,piping contractor\n"
DECIDED = "number,decided_on,kind,person,second_person,subject,subject_key,why\n"
HIRED = f"{DECIDED}D-E1,2026-01-10,role given,T1,A1,person,E1,hired\n"


@pytest.fixture
def site(tmp_path):
    """A site with keeper T1, auditor A1, engineer E1, planner P1, contractor C1."""
    made = opened(tmp_path, {"people.csv": PEOPLE, "decisions.csv": HIRED})
    yield made
    made.register.close()


def told(site, kind):
    return [f[2] for f in findings(site) if f[0] == kind]


def change(by, second="", now=LATER):
    return Change(now.date(), now, by, "a reason", second)


# Each makes a verdict or a date better than it was; P1 or T1 may record it alone.
BETTER = {
    "structure": ("structures.csv", "name,kind,is_protected", "S1,pipeline section,no"),
    "boundary": (
        "boundaries.csv",
        "name,structure_a,structure_b,purpose",
        "B-1,S1,Plant,not stated",
    ),
    "joint": (
        "joints.csv",
        "tag,boundary,area,state,severity",
        "J-2,B-1,East,in duty,mild",
    ),
    "position": (
        "positions.csv",
        "subject,name,latitude,longitude",
        "joint,J-2,31.5,-41.9",
    ),
    "test": (
        "tests.csv",
        "scope,joint,tested_on,method,stage,outcome",
        "joint,J-1,2025-03-01,potential-shift,routine,gate locked",
    ),
    "device": (
        "devices.csv",
        "joint,fitted_on,kind,layout,stud_count",
        "J-2,2020-01-05,flange kit,two-side,4",
    ),
}


@pytest.mark.parametrize("kind", BETTER)
def test_a_correction_of_what_is_judged_by_is_told_until_it_is_seen(site, kind):
    name, heading, row = BETTER[kind]
    sent(
        site,
        {name: f"{heading},correction_reason\n{row},a slip of the pen\n"},
        LATER,
        by="T1",
    )
    (found,) = told(site, "correction_unseen")
    assert f"corrected what verdicts and dates are judged by: {kind} " in found
    assert "jointmap change seen SITE 3" in found
    see(site, 3, change("A1", now=LATER + DAY))
    assert told(site, "correction_unseen") == []


def test_a_remark_and_a_better_survey_are_not_told(site):
    rows = "joint,J-2,31.40012,-41.9001,surveyed\n"
    heading = "subject,name,latitude,longitude,correction_reason\n"
    sent(site, {"positions.csv": heading + rows}, LATER)
    heading = "tag,boundary,area,state,remark,correction_reason\n"
    sent(site, {"joints.csv": f"{heading}J-2,B-1,East,in duty,red door,seen\n"}, LATER)
    assert told(site, "correction_unseen") == []


def test_what_is_judged_by_names_columns_that_are_there():
    for kind, names in JUDGED_BY.items():
        assert names <= {c.name for c in FORMS[kind].columns} - set(ABOUT_THE_ROW)


DEFERRED = (
    "number,decided_on,kind,person,second_person,subject,subject_key,why,authority,"
    "until_on\nD-9,2026-04-20,deferred,E1,A1,joint,J-2,flooded,head,2026-06-30\n"
)


def test_a_decision_in_the_names_of_others_is_told(site):
    sent(site, {"decisions.csv": DEFERRED}, LATER, by="P1")
    (found,) = told(site, "by_one")
    assert "D-9 of 2026-04-20 (deferred) stands in the names of E1 and A1" in found
    assert "recorded by P1: flooded. Next: A1 or another looks at it" in found
    see(site, 3, change("A1", now=LATER + DAY))
    assert told(site, "by_one") == []


def test_a_decision_of_ones_own_with_a_second_is_not_told(site):
    asked = Asked("J-2", "joint", "head", dt.date(2026, 6, 30))
    defer(site, asked, change("E1", "A1"))
    assert told(site, "by_one") == []


def test_a_joint_in_duty_let_go_by_one_is_told_and_marked(tmp_path):
    site = opened(tmp_path)
    heading = "code,role,correction_reason\n"
    ended = "number,decided_on,kind,person,second_person,subject,subject_key,why\n"
    sent(
        site,
        {
            "people.csv": f"{heading}A1,regulator,gone\n",
            "decisions.csv": f"{ended}D-1,2026-02-01,role given,T1,A1,person,A1,gone\n",
        },
        FIRST + 30 * DAY,
    )
    sent(
        site,
        {"decisions.csv": f"{ended}D-3,2026-02-02,run by one person,T1,,site,SML,x\n"},
        FIRST + 31 * DAY,
    )
    retire(site, "J-2", "cut out", change("T1"))
    found = [f for f in told(site, "by_one") if "released" in f]
    assert len(found) == 1
    assert "stands by one person, T1" in found[0]
    page = dossier_html(site, "J-2", on=ON, known=None)
    assert "T1 (register keeper) (by one person)" in page
    site.register.close()


@pytest.mark.parametrize("state", [JointState.OUT_OF_DUTY, JointState.REMOVED])
def test_a_joint_does_not_come_in_out_of_duty_by_who_may_not_end_it(tmp_path, state):
    register = register_of_roles(tmp_path)
    new = replace(joint("J-9"), state=state)
    for role, may in ((Role.CONTRACTOR, False), (Role.KEEPER, True)):
        try:
            with register.write(NOON + DAY, CODES[role], "new") as job:
                job.add(new)
        except Refused as refused:
            assert not may
            said = " ".join(map(line_of, refused.problems))
            assert "may not take a joint out of duty, or back" in said
        else:
            assert may
    register.close()


@pytest.mark.parametrize("is_new", [True, False])
def test_a_code_that_was_anothers_is_not_given_again(tmp_path, is_new):
    register = register_of_roles(tmp_path)
    keeper, technician = CODES[Role.KEEPER], CODES[Role.TECHNICIAN]
    first = id_of(Role.TECHNICIAN)
    role = str(Role.TECHNICIAN)
    with register.write(NOON + DAY, keeper, "typo") as job:
        job.revise(first, Person(code="TX", role=role))
    other = Person(code=technician, role=role)

    def given(job):
        return job.add(other) if is_new else job.revise(id_of(Role.CONTRACTOR), other)

    with (
        pytest.raises(Refused) as refused,
        register.write(NOON + 2 * DAY, keeper, "another man") as job,
    ):
        given(job)
    (problem,) = refused.value.problems
    assert (problem.id, problem.value) == ("person.code_taken", technician)
    assert "now TX" in line_of(problem)
    # Back to one's own code is no taking.
    with register.write(NOON + 2 * DAY, keeper, "back") as job:
        job.revise(first, Person(code=technician, role=role))
    register.close()


@pytest.mark.parametrize("others", [True, False])
def test_who_got_a_role_does_not_look_at_it_where_others_may(tmp_path, others):
    register = Register.create(f"sqlite:///{tmp_path}/one.sqlite", "X", bytes(32))
    first = [person("K"), *([person("E", role="integrity engineer")] if others else [])]
    with register.write(NOON, "K", "first") as job:
        for record in first:
            job.add(record)
    more = {"person_id": 1, "second_person_id": 2 if others else None}
    with register.write(NOON + DAY, "K", "hired") as job:
        new = job.add(person("A", role="auditor"))
        job.add(decision("D-1", DecisionKind.ROLE_GIVEN, "person", "A", **more))
    seen = {"person_id": new, "second_person_id": None}
    made = decision("D-2", DecisionKind.SEEN, "entry", "2", **seen)
    if others:
        with (
            pytest.raises(Refused) as refused,
            register.write(NOON + 2 * DAY, "A", "seen") as job,
        ):
            job.add(made)
        (problem,) = refused.value.problems
        assert problem.id == "seen.appointed"
        assert "accepted: E" in line_of(problem)
    else:
        with register.write(NOON + 2 * DAY, "A", "seen") as job:
            job.add(made)
    register.close()
