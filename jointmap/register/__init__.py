"""The records of the register: frozen, whole or refused.

``FORMS`` lists every kind in the order in which references can be resolved.
"""

from jointmap.register.altered import Altered
from jointmap.register.fields import ABOUT_THE_ROW, Column, Form, Record, form_of
from jointmap.register.fitting import Device, Installation, Occurrence, ParallelPath
from jointmap.register.place import (
    Alias,
    Boundary,
    Chainage,
    CurrentSource,
    Joint,
    Lead,
    Line,
    Position,
    Site,
    Structure,
    TestPoint,
)
from jointmap.register.ruling import (
    Crew,
    DayOff,
    Decision,
    Held,
    Limit,
    Model,
    Road,
    Rule,
)
from jointmap.register.testing import (
    Attachment,
    Certificate,
    Instrument,
    IsolationTest,
    Person,
    PhotoPlace,
    Qualification,
)

RECORDS: tuple[type[Record], ...] = (
    Site, Person, Qualification, Instrument, Certificate, Line, Chainage, Structure,
    CurrentSource, Boundary, Joint, Alias, TestPoint, Lead, Device, Installation,
    ParallelPath, Occurrence, Crew, DayOff, Road, Position, Altered, IsolationTest,
    Rule, Limit, Model, Decision, Attachment, PhotoPlace, Held,
)  # fmt: skip

FORMS: dict[str, Form] = {r.KIND: form_of(r) for r in RECORDS}

__all__ = ["ABOUT_THE_ROW", "FORMS", "RECORDS", "Column", "Form", "Record", "form_of"]
__all__ += [r.__name__ for r in RECORDS]
