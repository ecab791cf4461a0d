"""A made-up site in which everything leans on everything, to be read in parts.

Boundaries share structures, sources feed several, joints stand near each other, tests
and paths name joints of other boundaries, persons go from place to place within
minutes; decisions, held values and files name several things. Nothing is asked of what
stands in it, as in ``tests.roles_site``.
"""

import datetime as dt
from dataclasses import replace

from numpy.random import default_rng  # noqa: TID251 (a seed comes in)

from jointmap.acceptance import limit_in_force
from jointmap.hazard.failure_model import default_prior, to_json
from jointmap.intervals import rule_in_force
from jointmap.register import (
    Alias,
    Attachment,
    Boundary,
    Certificate,
    CurrentSource,
    Decision,
    Device,
    Held,
    Installation,
    Instrument,
    IsolationTest,
    Joint,
    Model,
    Occurrence,
    ParallelPath,
    Position,
    Qualification,
    Structure,
    TestPoint,
)
from jointmap.register.altered import alterations
from jointmap.register.codes import (
    Consequence,
    DecisionKind,
    DeviceKind,
    Indication,
    JointState,
    Layout,
    Mark,
    OccurrenceKind,
    Outcome,
    PathKind,
    PathState,
    Purpose,
    Scope,
    Severity,
    Side,
    Stage,
    StructureKind,
    Subject,
)
from jointmap.register.paper_states import NONE_KEPT, RULED
from jointmap.register.ruling import ON_PAPERS, PAPERED
from jointmap.sites.site_folder import SiteFolder
from jointmap.storage import Register
from jointmap.tables import LIMITS
from jointmap.tables.interval_rules import RULES
from tests.storage.samples import KEY, NOON, person, site, unasked

ON = dt.date(2026, 5, 15)
FIRST = dt.date(2016, 1, 1)
STRUCTURES, BOUNDARIES, JOINTS, TESTS = 7, 8, 16, 90
# One in so many readings is bad: then a boundary needs the whole site.
GOOD = 0.93
BROUGHT = "portable source on S1"
AREAS = ("East", "West", "")


class Weaver:
    """Chance as the records ask for it."""

    def __init__(self, seed):
        self.chance = default_rng(seed)

    def one(self, things):
        """Return one of some things."""
        things = list(things)
        return things[int(self.chance.integers(len(things)))]

    def maybe(self, share=0.5):
        """Return whether something is so, in a share of all cases."""
        return bool(self.chance.random() < share)

    def id_of(self, count):
        """Return one of the ids from 1."""
        return int(self.chance.integers(count)) + 1

    def day(self, first=2018, last=2026):
        """Return a day of some years; few of them, so that things fall together."""
        year, month = self.one(range(first, last + 1)), self.one((2, 4))
        return dt.date(year, month, self.one((3, 4)))


def woven_site(folder, seed):
    """Make the site of a seed in a folder; return it opened."""
    register = Register.create(f"sqlite:///{folder}/woven-{seed}.sqlite", "X", KEY)
    weave = Weaver(seed)
    with unasked(register, NOON - dt.timedelta(days=400), "T1", "first") as job:
        for record in _ground(weave):
            job.add(record)
        for record in _lived(weave):
            job.add(record)
    with unasked(register, NOON, "T2", "corrected") as job:
        _correct(job, weave)
        for number in range(6):
            job.add(_decision(weave, 100 + number))
        for number in range(4):
            job.add(_on_papers(weave, 200 + number))
    with unasked(register, NOON + dt.timedelta(hours=1), "T1", "altered") as job:
        _alter(job, weave)
    return SiteFolder(folder, register)


def _ground(weave):
    yield site()
    yield from (person("T1"), person("T2", "auditor"), person("T3", "fitter"))
    for n in (1, 2):
        kind = "voltmeter" if n == 1 else "meter"
        yield Instrument(name=f"V-{n}", kind=kind, needs_certificate=True)
        yield Certificate(instrument_id=n, number="1", valid_from_on=FIRST,
                          valid_until_on=weave.day(2020, 2027))  # fmt: skip
    for who in (1, 2):
        yield Qualification(person_id=who, task="isolation test", valid_from_on=FIRST,
                            valid_until_on=weave.day(2020, 2026))  # fmt: skip
    for name, rule in RULES.items():
        if rule.subject != "site" and not name.startswith("ccr"):
            yield rule_in_force(name, FIRST)
    for name in LIMITS:
        yield limit_in_force(name, FIRST)
    if weave.maybe(0.3):
        yield Model(name="prior", from_on=FIRST, numbers=to_json(default_prior()),
                    source="made up", mark=Mark.OWNER_CHOICE)  # fmt: skip
    for n in range(1, STRUCTURES + 1):
        yield Structure(
            name=f"S{n}", kind=weave.one(StructureKind), is_protected=weave.maybe(),
            design_current_ampere=weave.one([None, 1.0]),
        )  # fmt: skip
    for n in (1, 2, 3):
        others = {f"S{weave.id_of(STRUCTURES)}" for _ in range(n - 1)}
        yield CurrentSource(
            name=f"R{n}", structure_id=n, kind="rectifier", can_be_interrupted=True,
            also_feeds=";".join(sorted(others - {f"S{n}"})),
            usual_current_ampere=weave.one([None, 2.0]),
        )  # fmt: skip
    for n in range(1, BOUNDARIES + 1):
        a = weave.id_of(STRUCTURES)
        b = weave.one({*range(1, STRUCTURES + 1)} - {a})
        permitted = weave.maybe(0.1)
        yield Boundary(
            name=f"B-{n}", structure_a_id=a, structure_b_id=b,
            purpose=weave.one(Purpose),
            joined_from_on=weave.day() if permitted else None,
            joined_by="owner" if permitted else "",
        )  # fmt: skip
    yield from _joints(weave)


def _joints(weave):
    for n in range(1, JOINTS + 1):
        state = weave.one([JointState.IN_DUTY] * 5 + list(JointState))
        yield Joint(
            # Some differ in the case of their letters only.
            tag=f"J-{n}" if n % 5 else f"j-{n - 1}",
            boundary_id=weave.id_of(BOUNDARIES), area=weave.one(AREAS), state=state,
            in_duty_on=weave.one([None, FIRST]), severity=weave.one(Severity),
            consequence=weave.one(Consequence), is_buried=weave.maybe(0.2),
            near_power_line=weave.maybe(0.3),
        )  # fmt: skip
        if weave.maybe(0.9):
            # Twos and threes stand close together, the others far apart.
            north = 31.4 + 0.1 * (n // 3) + 0.001 * float(weave.chance.random())
            yield Position(
                subject=Subject.JOINT, subject_id=n, captured_crs="EPSG:4326",
                latitude_deg=north, longitude_deg=-41.9, captured_x="x",
                captured_y="y", captured_on=FIRST, method="satellite",
            )  # fmt: skip
    for n in (1, 2):
        yield Alias(joint_id=n, name=f"old {n}")
    yield TestPoint(name="TP-1", joint_id=weave.id_of(JOINTS))


def _lived(weave):
    device = 0
    for joint in range(1, JOINTS + 1):
        for year in range(2017, 2017 + 4 * weave.one((0, 1, 1, 2)), 4):
            device += 1
            yield from _fitted(weave, joint, device, year)
    for n in range(1, 7):
        yield ParallelPath(
            name=f"P-{n}", boundary_id=weave.id_of(BOUNDARIES),
            joint_id=weave.one([None, weave.id_of(JOINTS)]), kind=weave.one(PathKind),
            state=weave.one(PathState), fitted_on=FIRST,
            checked_on=weave.one([None, weave.day()]), is_critical=weave.maybe(),
        )  # fmt: skip
    for n in range(TESTS):
        yield _test(weave, n)
    for n in range(6):
        where = weave.one(("joint_id", "boundary_id", "area"))
        at = AREAS[0] if where == "area" else weave.id_of(BOUNDARIES)
        yield Occurrence(happened_on=weave.day(2022), place=f"place {n}",
                         kind=weave.one(OccurrenceKind), **{where: at})  # fmt: skip
    for n in range(8):
        yield _decision(weave, n)
    for n in range(5):
        names = " ".join(_names(weave) for _ in range(weave.one((1, 2))))
        yield Held(sheet="joints", subject_key=names, column=weave.one(["position",
                   "torque_target", "area"]), sent_on=weave.day(2022, 2025),
                   doubt="row.differs", value=str(n))  # fmt: skip
        yield Attachment(sha256=f"{n:064}", media_type="image/png", size_bytes=9,
                         subject="joint", subject_key=names)  # fmt: skip


def _fitted(weave, joint, device, year):
    on = dt.date(year, 2, weave.one((3, 4)))
    removed = dt.date(year + 4, 1, 1) if weave.maybe(0.3) else None
    yield Device(joint_id=joint, fitted_on=on, removed_on=removed, serial="7",
                 kind=weave.one(DeviceKind), layout=weave.one(Layout), stud_count=8,
                 lubricant_allowed="non-metallic paste")  # fmt: skip
    yield Installation(
        device_id=device, installed_on=on, fitter_id=weave.one([None, 1, 3]),
        lubricant=weave.one(["", "copper paste", "non-metallic paste"]),
        torque_tool_id=weave.one([None, 1, 2]),
    )  # fmt: skip


def _test(weave, number):
    scope = weave.one([Scope.JOINT] * 5 + [Scope.BOUNDARY] * 3 + list(Scope)[2:])
    on, places = weave.day(), {}
    if scope in (Scope.JOINT, Scope.STUD, Scope.GASKET_CORE) or weave.maybe():
        places["joint_id"] = weave.id_of(JOINTS)
    if scope is Scope.BOUNDARY:
        places["boundary_id"] = weave.id_of(BOUNDARIES)
    if scope is Scope.PATH:
        places["path_id"] = weave.id_of(6)
    if scope is Scope.SOURCE:
        places["source_id"] = weave.id_of(3)
    if scope is Scope.STUD:
        places |= {"stud": weave.id_of(9), "side": weave.one(Side)}
    at = dt.datetime(on.year, on.month, on.day, 8, weave.one((0, 5, 9)), tzinfo=dt.UTC)
    return IsolationTest(
        scope=scope, tested_on=on, tested_at=at if weave.maybe() else None,
        outcome=Outcome.MEASURED, stage=weave.one([Stage.ROUTINE] * 25 + list(Stage)),
        instrument_id=weave.one([None, 1, 1, 1, 2, 2]),
        person_id=weave.one([None, 1, 1, 1, 2, 2, 2, 3]),
        test_point_id=1 if weave.maybe(0.1) else None, line_id=str(number),
        **places, **_read(weave, scope),
    )  # fmt: skip


def _read(weave, scope):
    good = weave.maybe(GOOD)
    if scope is Scope.SOURCE:
        return {"method": "source-output", "test_current_ampere": 1.5}
    if scope is Scope.PATH:
        seen = Indication.NO_SHORT if good else Indication.SHORT
        return {"method": "look", "indication": seen}
    if scope in (Scope.STUD, Scope.GASKET_CORE):
        return {"method": "stud-resistance", "reading_ohm": 5e6 if good else 0.1}
    if scope is Scope.JOINT and weave.maybe():
        seen = Indication.NO_SHORT if good else Indication.SHORT
        return {"method": "radio-frequency", "indication": seen}
    far = -0.55 if good else weave.one([-0.60, -0.85])
    near = weave.one([-0.90, -0.90, -1.18])
    return {
        "method": "potential-shift", "a_on_volt": -1.2, "a_off_volt": near,
        "b_on_volt": far, "b_off_volt": -0.55, "interrupted_side": Side.A,
        "sources_cycling": weave.one(["R1", "R2;R3", BROUGHT, BROUGHT, BROUGHT]),
        "sources_steady": weave.one(["", "R1;R2;R3", "R1;R2;R3"]), "cycles": 5,
    }  # fmt: skip


def _names(weave):
    kinds = [("J-", JOINTS), ("B-", BOUNDARIES), ("P-", 6), ("S", STRUCTURES)]
    word, count = weave.one(kinds)
    return f"{word}{weave.id_of(count)}"


def _decision(weave, number):
    subject, key = weave.one([
        ("joint", f"J-{weave.id_of(JOINTS)}"),
        ("boundary", f"B-{weave.id_of(BOUNDARIES)}"),
        ("path", f"P-{weave.id_of(6)}"),
        ("instrument", f"V-{weave.id_of(2)}"),
        ("entry", str(weave.id_of(2))),
    ])  # fmt: skip
    kind = weave.one([k for k in DecisionKind if k not in ON_PAPERS])
    if subject == "instrument":
        kind = DecisionKind.ACCEPTED_EXCEPTION
    if subject == "entry":
        kind = DecisionKind.SEEN
    return Decision(
        number=f"D-{number}", decided_on=weave.day(2021, 2024), kind=kind,
        subject=subject, subject_key=key, why="why", authority="owner",
        until_on=weave.day(2025, 2027),
        person_id=weave.one([1, 2]), second_person_id=weave.one([None, 2, 3]),
    )  # fmt: skip


def _on_papers(weave, number):
    """Return a rule of the owner on papers, or an exception about a person."""
    kind = weave.one([*ON_PAPERS, DecisionKind.ACCEPTED_EXCEPTION])
    on, is_past = weave.day(2021, 2024), kind is DecisionKind.PAPERS_NOT_KEPT
    about = weave.one(PAPERED), weave.one([NONE_KEPT] if is_past else RULED)
    if kind is DecisionKind.ACCEPTED_EXCEPTION:
        about = "person", weave.one(["T1", "T2", "T3"])
    return Decision(
        number=f"D-{number}", decided_on=on, kind=kind, subject=about[0],
        subject_key=about[1], why="why", person_id=1, second_person_id=2,
        until_on=weave.day(2018, 2020) if is_past else None,
    )  # fmt: skip


def _correct(job, weave):
    """Write new revisions of some joints, tests and devices."""
    kinds = {"joint": JOINTS, "test": TESTS, "boundary": BOUNDARIES}
    for kind, count in kinds.items():
        for id_ in {weave.id_of(count) for _ in range(3)}:
            _, record = job.known(kind).current(id_)
            job.revise(id_, _changed(weave, record))


def _alter(job, weave):
    """Alter some facts from a day on; some days are after all others."""
    asked = [("joint", weave.id_of(JOINTS)) for _ in range(4)]
    asked += [("boundary", weave.id_of(BOUNDARIES)), ("source", weave.id_of(3))]
    for kind, id_ in dict.fromkeys(asked):
        old = job.known(kind).record(id_)
        new = _altered(weave, old)
        for row in alterations(id_, old, new, weave.day(2019, 2027)):
            job.add(row)
        if new != old:
            job.revise(id_, new)


def _altered(weave, record):
    if isinstance(record, Joint):
        return weave.one([
            replace(record, boundary_id=weave.id_of(BOUNDARIES)),
            replace(record, boundary_id=weave.id_of(BOUNDARIES)),
            replace(record, is_buried=not record.is_buried),
            replace(record, state=weave.one(JointState)),
        ])  # fmt: skip
    if isinstance(record, Boundary):
        return replace(record, purpose=weave.one(Purpose))
    return replace(record, structure_id=weave.id_of(STRUCTURES), also_feeds="")


def _changed(weave, record):
    if isinstance(record, Joint):
        return replace(record, boundary_id=weave.id_of(BOUNDARIES))
    if isinstance(record, Boundary):
        return replace(record, purpose=weave.one(Purpose))
    return replace(record, remark="mended")
