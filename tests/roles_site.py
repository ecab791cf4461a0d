"""A register with one person of each role and one record of each kind."""

import datetime as dt
from dataclasses import replace

from jointmap.register import (
    FORMS,
    Alias,
    Altered,
    Attachment,
    Certificate,
    Chainage,
    Crew,
    CurrentSource,
    DayOff,
    Decision,
    Held,
    Installation,
    Instrument,
    Lead,
    Limit,
    Line,
    Model,
    Occurrence,
    ParallelPath,
    Person,
    PhotoPlace,
    Position,
    Qualification,
    Record,
    Road,
    Rule,
    TestPoint,
)
from jointmap.register.codes import (
    Basis,
    DecisionKind,
    LeadState,
    LimitRole,
    Mark,
    OccurrenceKind,
    PathKind,
    PathState,
    Side,
    Subject,
)
from jointmap.register.paper_states import NONE_KEPT
from jointmap.register.rights.roles import Role
from jointmap.register.rule_codes import RuleShape
from jointmap.register.ruling import ON_PAPERS, PAPERED
from jointmap.storage import Register
from tests.storage.samples import (
    KEY,
    NOON,
    boundary,
    device,
    fill,
    joint,
    reading,
    site,
    structure,
)

TODAY = NOON.date()
SINCE = dt.date(2025, 1, 1)
CODES = {role: f"W{n}" for n, role in enumerate(Role)}
NOBODY = "W99"  # a person on record whose role is none of the words


def decision(number, kind, subject="site", key="X", **more):
    who = {"person_id": id_of(Role.KEEPER), "second_person_id": id_of(Role.AUDITOR)}
    facts = {"number": number, "decided_on": TODAY, "kind": kind, "why": "why"}
    return Decision(**facts, **{**who, "subject": subject, "subject_key": key, **more})


def about(kind):
    """Return subject, key and last day that a decision of a kind may have."""
    if kind not in ON_PAPERS:
        return {"subject": "joint", "subject_key": "J-1"}
    past = {"until_on": SINCE} if kind is DecisionKind.PAPERS_NOT_KEPT else {}
    return {"subject": PAPERED[0], "subject_key": NONE_KEPT, **past}


def id_of(role):
    """Return the id of the person of a role."""
    return list(Role).index(role) + 1


def rule(name="R-1", **more):
    facts = {"name": name, "from_on": SINCE, "shape": RuleShape.PLAIN_MONTHS}
    facts |= {"basis": Basis.OWNER, "subject": Subject.JOINT, "months": 12}
    return Rule(**{**facts, "source": "own", "mark": Mark.OWNER_CHOICE, **more})


def limit(name="L-1", **more):
    facts = {"name": name, "from_on": SINCE, "method": "potential-shift", "value": 0.5}
    facts |= {"role": LimitRole.SHORTED_ABOVE, "unit": "1", "source": "own"}
    return Limit(**{**facts, "mark": Mark.OWNER_CHOICE, **more})


def _held(n):
    facts = {"sheet": "joints", "subject_key": f"K-{n}", "column": "area"}
    return Held(**facts, sent_on=TODAY, doubt="row.differs")


def _person(n, role="field technician"):
    return Person(code=f"W{n}", role=role)


def _files(n):
    facts = {"sha256": f"{n:064}", "media_type": "image/png", "size_bytes": 9}
    return Attachment(**facts, subject="joint", subject_key="J-1")


def _path(n):
    facts = {"name": f"P-{n}", "boundary_id": 1, "state": PathState.APART}
    return ParallelPath(**facts, kind=PathKind.TUBING)


def _paper(n):
    return Installation(device_id=1, installed_on=SINCE + dt.timedelta(days=n))


def _position(n):
    facts = {"subject": Subject.JOINT, "subject_id": n, "captured_x": "1"}
    facts |= {"captured_y": "2", "captured_crs": "EPSG:4326", "captured_on": SINCE}
    return Position(**facts, method="hand held")


MAKE = {
    "site": lambda n: site(f"X{n}" if n > 1 else "X"),
    "person": lambda n: _person(n + 100),
    "qualification": lambda n: Qualification(
        person_id=n, task="test", valid_from_on=SINCE, valid_until_on=TODAY
    ),
    "instrument": lambda n: Instrument(name=f"M-{n}", kind="meter"),
    "certificate": lambda n: Certificate(
        instrument_id=1, number=f"C-{n}", valid_from_on=SINCE, valid_until_on=TODAY
    ),
    "line": lambda n: Line(name=f"LN-{n}", coordinates="[[0,0],[0,1]]"),
    "chainage": lambda n: Chainage(
        line_id=1, measuring=str(2020 + n), measured_on=SINCE, tie_points="[]"
    ),
    "structure": lambda n: structure(f"S-{n}"),
    "source": lambda n: CurrentSource(
        name=f"R-{n}", structure_id=1, kind="rectifier", can_be_interrupted=True
    ),
    "boundary": lambda n: boundary(f"B-{n}"),
    "joint": lambda n: joint(f"J-{n}"),
    "alias": lambda n: Alias(joint_id=1, name=f"old {n}"),
    "test_point": lambda n: TestPoint(name=f"TP-{n}"),
    "lead": lambda n: Lead(
        test_point_id=1, colour=f"red {n}", side=Side.A, state=LeadState.SOUND
    ),
    "device": lambda n: device(1, SINCE + dt.timedelta(days=n)),
    "installation": _paper,
    "path": _path,
    "occurrence": lambda n: Occurrence(
        kind=OccurrenceKind.STORM, happened_on=SINCE + dt.timedelta(days=n), place="N"
    ),
    "crew": lambda n: Crew(
        name=f"crew {n}", persons=2, depot="D", day_from="07:00", day_until="15:00",
        working_days="mon",
    ),
    "day_off": lambda n: DayOff(off_on=SINCE + dt.timedelta(days=n)),
    "road": lambda n: Road(
        name=f"road {n}", speed_metre_per_second=10.0, coordinates="[[0,0],[0,1]]"
    ),
    "position": _position,
    "altered": lambda n: Altered(
        subject=Subject.JOINT, subject_id=1, column="is_buried", was="no",
        until_on=SINCE + dt.timedelta(days=n),
    ),
    "test": lambda n: reading(1, SINCE + dt.timedelta(days=200 + n), 1e6),
    "rule": lambda n: rule(f"R-{n}"),
    "limit": lambda n: limit(f"L-{n}"),
    "model": lambda n: Model(
        name=f"M-{n}", from_on=SINCE, numbers="{}", source="own", mark=Mark.OWNER_CHOICE
    ),
    "decision": lambda n: decision(
        f"D-{n}", DecisionKind.REMEDIAL_PLAN, "joint", "J-1", person_id=None,
        second_person_id=None,
    ),
    "attachment": _files,
    "photo_place": lambda n: PhotoPlace(sha256=f"{n:064}", taken_on=SINCE),
    "held": _held,
}  # fmt: skip


def people():
    """Return one person of each role, and one of none."""
    own = [Person(code=code, role=str(role)) for role, code in CODES.items()]
    return [*own, Person(code=NOBODY, role="boss")]


def register_of_roles(folder) -> Register:
    """Make a register; what stands in it was recorded without asking who may."""
    made = Register.create(f"sqlite:///{folder}/roles.sqlite", "X", KEY)
    others = [MAKE["structure"](9)]
    records = [MAKE[kind](1) for kind in FORMS if kind != "person"]
    first = {"site": 0, "structure": 1}
    ordered = sorted(records, key=lambda r: first.get(r.KIND, 2))
    fill(made, *people(), *others, *ordered, _person(101))
    return made


def with_its_decision(job, record: Record) -> Record:
    """Add the decision of two that a change of rules asks for; return the record."""
    kinds = {"rule": "rule", "limit": "limit", "model": "model", "site": "site"}
    if record.KIND not in kinds:
        return record
    name = getattr(record, "name", "")
    key = record.code if record.KIND == "site" else name
    made = decision(f"new {record.KIND}", DecisionKind.ADOPTED, record.KIND, key)
    id_ = job.add(made)
    if record.KIND in {"rule", "limit"}:
        return replace(record, decision_id=id_)
    return record


def corrected(record: Record) -> Record:
    """Return a record with another value in a column that names nothing."""
    more = {"correction_reason": "misread"}
    if hasattr(record, "remark"):
        return replace(record, remark="another", **more)
    changed = {
        "site": {"reach_metre": 60.0},
        "person": {"organisation": "other"},
        "line": {"coordinates": "[[0,0],[0,2]]"},
        "chainage": {"tie_points": "[[0, 0]]"},
        "lead": {"size": "6 mm2"},
        "crew": {"persons": 3},
        "day_off": {"why": "feast"},
        "road": {"speed_metre_per_second": 12.0},
        "altered": {"was": "yes"},
        "rule": {"months": 24},
        "limit": {"value": 0.9},
        "model": {"numbers": '{"a":1}'},
        "decision": {"as_written": "{}"},
        "attachment": {"view": "front"},
        "photo_place": {"taken_on": TODAY},
        "held": {"is_open": False},
    }
    return replace(record, **changed.get(record.KIND, {}), **more)
