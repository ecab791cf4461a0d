"""What a row or a change is checked against: what is on record, and the day."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import cast
from zoneinfo import ZoneInfo

from jointmap.changes.rows.already_one import JoinedOnPurpose
from jointmap.changes.rows.doubts_of_tests import beyond_its_range, doubts_of_test
from jointmap.changes.rows.find_record import keys_of
from jointmap.changes.rows.names_checked import (
    names_not_known,
)
from jointmap.changes.rows.stages_checked import (
    is_before_installed,
    stage_is_over,
    unfit_stage,
)
from jointmap.changes.rows.tags_asked import Tags
from jointmap.errors import Problem, WrongUse
from jointmap.register import (
    Altered,
    Boundary,
    Device,
    Instrument,
    IsolationTest,
    Joint,
    Lead,
    Record,
    Site,
)
from jointmap.register.altered import as_it_was
from jointmap.register.codes import Subject
from jointmap.storage import Writing


@dataclass(slots=True)
class Context:
    """What a draft is checked against while one delivery is loaded."""

    job: Writing
    now: dt.datetime
    today: dt.date
    joined: JoinedOnPurpose = field(init=False)
    tags: Tags = field(init=False)
    _devices: dict[int, dict[dt.date, Device]] = field(default_factory=dict)
    _keys: dict[str, Mapping[str, None]] = field(default_factory=dict)
    _joints: dict[int, Joint] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.joined = JoinedOnPurpose(self.today, self.job)
        self.tags = Tags(self.job)

    def devices_of(self, joint_id: int | None) -> dict[dt.date, Device]:
        """Return the devices of a joint by the day of their fitting."""
        if joint_id is None:
            return {}
        if joint_id not in self._devices:
            found = self.job.known("device").having(joint_id=joint_id)
            devices = (cast("Device", record) for _, record in found)
            self._devices[joint_id] = {d.fitted_on: d for d in devices}
        return self._devices[joint_id]

    def keys(self, kind: str) -> Mapping[str, None]:
        """Return what the records of ``kind`` are called, once they are all there."""
        if kind not in self._keys:
            self._keys[kind] = dict.fromkeys(keys_of(self.job, kind).values())
        return self._keys[kind]

    def joint(self, id_: int) -> Joint:
        """Return a joint that is on record; each is read once."""
        if id_ not in self._joints:
            self._joints[id_] = cast("Joint", self.job.known("joint").record(id_))
        return self._joints[id_]

    def joint_on(self, id_: int, on: dt.date) -> Joint:
        """Return a joint as it was on a day, for what was done on that day."""
        about = {"subject": Subject.JOINT, "subject_id": id_}
        rows = self.job.known("altered").having(**about)
        return as_it_was(self.joint(id_), (cast("Altered", r) for _, r in rows), on)

    def boundary(self, id_: int) -> Boundary:
        """Return a boundary that is on record."""
        return cast("Boundary", self.job.known("boundary").record(id_))

    def leads(self, test_point_id: int) -> list[Lead]:
        """Return the leads of a test point."""
        found = self.job.known("lead").having(test_point_id=test_point_id)
        return [cast("Lead", record) for _, record in found]

    def note(self, record: Record) -> None:
        """Remember devices, joined boundaries and tags, so that later rows see them."""
        self.joined.note(record)
        self.tags.note(record)
        if isinstance(record, Device):
            self.devices_of(record.joint_id)[record.fitted_on] = record

    def forget(self, record: Record | None) -> None:
        """Leave out a device that is being replaced by a new revision of itself."""
        if isinstance(record, Device):
            self.devices_of(record.joint_id).pop(record.fitted_on, None)

    def doubts(self, record: Record) -> Iterator[Problem]:
        """Yield what a person should look at; the record can stand all the same."""
        yield from self.joined.doubts(record)
        yield from self.tags.doubts(record)
        yield from doubts_of_test(record)
        yield from self._doubts_of_range(record)
        yield from self._doubts_of_stage(record)
        yield from names_not_known(record, self.job)

    def _doubts_of_range(self, record: Record) -> Iterator[Problem]:
        if isinstance(record, IsolationTest) and record.instrument_id is not None:
            known = self.job.known("instrument").record(record.instrument_id)
            yield from beyond_its_range(record, cast("Instrument", known))

    def _doubts_of_stage(self, record: Record) -> Iterator[Problem]:
        if not isinstance(record, IsolationTest) or not is_before_installed(record):
            return
        # One doubt at most: a second one of the same cell would take its place.
        unfit = [*unfit_stage(record)]
        yield from unfit
        if record.joint_id is not None and not unfit:
            fitted = [*self.devices_of(record.joint_id)]
            joint = self.joint_on(record.joint_id, record.tested_on)
            yield from stage_is_over(record, joint, fitted)


def local_day(job: Writing, now: dt.datetime) -> dt.date:
    """Return the day at the site at an instant; ``WrongUse`` without a site record."""
    sites = [cast("Site", r) for _, r in job.known("site").by_id.values()]
    if not sites:
        raise WrongUse(Problem("site.no_record"))
    return now.astimezone(ZoneInfo(sites[0].time_zone)).date()
