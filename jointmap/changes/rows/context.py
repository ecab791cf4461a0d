"""What a row or a change is checked against: what is on record, and the day."""

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import cast
from zoneinfo import ZoneInfo

from jointmap.changes.rows.already_one import JoinedOnPurpose
from jointmap.changes.rows.doubts_of_tests import doubts_of_test
from jointmap.changes.rows.find_record import key_of
from jointmap.changes.rows.names_checked import (
    names_not_known,
)
from jointmap.changes.rows.stages_checked import (
    is_before_installed,
    stage_is_over,
    unfit_stage,
)
from jointmap.errors import Problem, WrongUse
from jointmap.exchange import Ref
from jointmap.register import (
    Alias,
    Device,
    IsolationTest,
    Joint,
    Lead,
    Record,
    Site,
)
from jointmap.storage import Writing


@dataclass(slots=True)
class Context:
    """What a draft is checked against while one delivery is loaded."""

    job: Writing
    now: dt.datetime
    today: dt.date
    devices: dict[int, dict[dt.date, Device]] = field(default_factory=dict)
    joined: JoinedOnPurpose = field(init=False)
    _keys: dict[str, Mapping[str, None]] = field(default_factory=dict)
    _joints: dict[int, Joint] = field(default_factory=dict)
    _leads: dict[int, list[Lead]] | None = None

    def __post_init__(self) -> None:
        self.joined = JoinedOnPurpose(self.today)
        for kind in ("device", "boundary"):
            for _, record in self.job.known(kind).by_id.values():
                self.note(record)

    def keys(self, kind: str) -> Mapping[str, None]:
        """Return what the records of ``kind`` are called, once they are all there."""
        if kind not in self._keys:
            known = self.job.known(kind).by_id.values()
            self._keys[kind] = {key_of(self.job, record): None for _, record in known}
        return self._keys[kind]

    def joint(self, id_: int) -> Joint:
        """Return a joint that is on record; each is read once."""
        if id_ not in self._joints:
            self._joints[id_] = cast("Joint", self.job.known("joint").record(id_))
        return self._joints[id_]

    def leads(self, test_point_id: int) -> list[Lead]:
        """Return the leads of a test point; all are read when first asked for."""
        if self._leads is None:
            self._leads = {}
            for _, record in self.job.known("lead").by_id.values():
                lead = cast("Lead", record)
                self._leads.setdefault(lead.test_point_id, []).append(lead)
        return self._leads.get(test_point_id, [])

    def note(self, record: Record) -> None:
        """Remember devices and joined boundaries, so that later rows see them."""
        self.joined.note(record)
        if isinstance(record, Device):
            self.devices.setdefault(record.joint_id, {})[record.fitted_on] = record

    def forget(self, record: Record | None) -> None:
        """Leave out a device that is being replaced by a new revision of itself."""
        if isinstance(record, Device):
            self.devices.get(record.joint_id, {}).pop(record.fitted_on, None)

    def doubts(self, record: Record) -> Iterator[Problem]:
        """Yield what a person should look at; the record can stand all the same."""
        yield from self.joined.doubts(record, self.job)
        yield from doubts_of_test(record)
        yield from self._doubts_of_stage(record)
        yield from names_not_known(record, self.job)

    def _doubts_of_stage(self, record: Record) -> Iterator[Problem]:
        if not isinstance(record, IsolationTest) or not is_before_installed(record):
            return
        # One doubt at most: a second one of the same cell would take its place.
        unfit = [*unfit_stage(record)]
        yield from unfit
        if record.joint_id is not None and not unfit:
            fitted = [*self.devices.get(record.joint_id, {})]
            yield from stage_is_over(record, self.joint(record.joint_id), fitted)


def find(job: Writing, ref: Ref) -> int | None:
    """Return the id of what a reference names, older names of joints included."""
    if ref.kind == "device":
        return _find_device(job, ref.key)
    found = job.known(ref.kind).by_key.get((ref.key,))
    if found is None and ref.kind == "joint":
        return _find_alias(job, ref.key)
    return found


def _find_device(job: Writing, key: str) -> int | None:
    tag, _, day = key.rpartition(" ")
    joint = find(job, Ref("joint", tag))
    try:
        fitted_on = dt.date.fromisoformat(day)
    except ValueError:
        return None
    return job.known("device").by_key.get((joint, fitted_on))


def _find_alias(job: Writing, name: str) -> int | None:
    aliases = (cast("Alias", r) for _, r in job.known("alias").by_id.values())
    return next((a.joint_id for a in aliases if a.name == name), None)


def local_day(job: Writing, now: dt.datetime) -> dt.date:
    """Return the day at the site at an instant; ``WrongUse`` without a site record."""
    sites = [cast("Site", r) for _, r in job.known("site").by_id.values()]
    if not sites:
        raise WrongUse(Problem("site.no_record"))
    return now.astimezone(ZoneInfo(sites[0].time_zone)).date()
