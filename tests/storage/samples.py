"""Small records that many storage tests write."""

import datetime as dt
from contextlib import contextmanager

from jointmap.register import (
    Boundary,
    Device,
    IsolationTest,
    Joint,
    Person,
    Site,
    Structure,
)
from jointmap.register.codes import (
    DeviceKind,
    JointState,
    Outcome,
    Purpose,
    Scope,
    Stage,
    StructureKind,
)
from jointmap.storage import Writing
from jointmap.storage.chain.entries import Said
from jointmap.storage.database import writing

KEY = b"k" * 32
NOON = dt.datetime(2026, 1, 1, 12, tzinfo=dt.UTC)
DAY = dt.timedelta(days=1)


def site(code="X", **more):
    facts = {"code": code, "name": "Site X", "time_zone": "Atlantic/Azores"}
    return Site(**facts, working_crs="EPSG:32623", **more)


def structure(name, **more):
    return Structure(name=name, kind=StructureKind.MAINS, is_protected=True, **more)


def person(code, role="register keeper", **more):
    return Person(code=code, role=role, **more)


def boundary(name, a=1, b=2):
    kept = {"name": name, "structure_a_id": a, "structure_b_id": b}
    return Boundary(**kept, purpose=Purpose.PROTECTION)


def joint(tag, boundary_id=1, **more):
    facts = {"tag": tag, "boundary_id": boundary_id, "area": "north"}
    return Joint(**facts, state=JointState.IN_DUTY, **more)


def device(joint_id, fitted_on=dt.date(2025, 6, 1), **more):
    facts = {"joint_id": joint_id, "fitted_on": fitted_on, "serial": ""}
    return Device(**facts, kind=DeviceKind.FLANGE_KIT, **more)


def reading(joint_id, on, ohm, **more):
    facts = {"joint_id": joint_id, "tested_on": on, "reading_ohm": ohm, **more}
    facts = {"scope": Scope.JOINT, "stage": Stage.ROUTINE, **facts}
    return IsolationTest(method="radio-frequency", outcome=Outcome.MEASURED, **facts)


def first_delivery():
    """Return records with withheld values, text beyond ASCII, all kinds of numbers."""
    return [
        site(),
        person("P1", full_name='Ana Ω. "Prova"', contact=None),
        person("P2", full_name="", contact="desk 2"),
        structure("pipe", area_square_metre=1e-7, remark="läng\nline"),
        structure("plant", area_square_metre=12345678.25),
        boundary("B1"),
        joint("IJ-1", post_kilometre=0.1 + 0.2),
        joint("IJ-2"),
        device(1, stud_count=8),
        device(2),
        reading(1, dt.date(2025, 7, 1), 5e6),
        reading(2, dt.date(2025, 7, 1), 1e16, tested_at=NOON - 99 * DAY),
    ]


@contextmanager
def unasked(register, now, by, reason):
    """Give a transaction as ``Register.write`` does, without asking who may.

    For what storage does with any rows; who may is tested with the roles.
    """
    with writing(register.engine) as connection:
        register._take_turn(connection)
        own = register.site_id, register.site_code, register.key
        job = Writing(connection, *own)
        register._check_said(job, now, ())
        yield job
        job.finish(Said(now, by, reason, register.training_on))


def fill(register, *records, now=NOON, reason="first delivery", by="P1"):
    with unasked(register, now, by, reason) as job:
        return [job.add(r) for r in records]
