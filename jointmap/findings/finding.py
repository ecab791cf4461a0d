"""One finding as data: what it is about, the id of its sentence and the values."""

import datetime as dt
from dataclasses import dataclass

from jointmap.findings.kind import Kind
from jointmap.register.codes import Subject
from jointmap.register.told import Told


@dataclass(frozen=True, slots=True)
class About:
    """What a finding is about: a thing that may be due, by its id, or only a name."""

    subject: int = -1  # code of a ``Subject``; -1 for none
    id: int = 0
    name: str = ""

    @classmethod
    def joint(cls, id_: int) -> "About":
        """Return that it is about a joint."""
        return cls(Subject.JOINT.code, id_)

    @classmethod
    def boundary(cls, id_: int) -> "About":
        """Return that it is about a boundary."""
        return cls(Subject.BOUNDARY.code, id_)

    @classmethod
    def of(cls, subject: int, id_: int) -> "About":
        """Return that it is about what has this code of a subject and this id."""
        return cls(subject, id_)

    @classmethod
    def called(cls, name: str) -> "About":
        """Return that it is about what is called so, and has no page of its own."""
        return cls(name=name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One thing to look at.

    ``more`` is told behind it. ``source`` is what set the threshold of this one; blank
    where that of its kind says it all.
    """

    kind: Kind
    about: About
    told: Told
    on: dt.date | None = None
    more: Told | None = None
    source: str = ""
