"""What a contractor hands over: fitting records, what is open, what was accepted."""

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping

from jointmap.assembly import Check, Result
from jointmap.assessment.two_persons import by_one_person
from jointmap.errors import Problem, WrongUse
from jointmap.register import (
    Attachment,
    Decision,
    Joint,
    Person,
)
from jointmap.register.codes import DecisionKind
from jointmap.reports.views import Frame, Link
from jointmap.reports.views_handover import (
    ContractorRow,
    HandoverPage,
    HandoverRow,
    SubmissionRow,
)
from jointmap.snapshot.fitted import fitted_in
from jointmap.snapshot.fittings import Fittings, reviewed
from jointmap.snapshot.names.joint_names import tags_by_name
from jointmap.snapshot.snapshot import Snapshot
from jointmap.wording import say
from jointmap.wording.quantities import show

# An attachment of the site whose view begins so is a submission.
VIEW = "handover: "
_OPEN = (Result.DOES_NOT_MEET, Result.NOT_RECORDED)


def handover_rows(
    state: Snapshot, on: dt.date, contractor: str | None
) -> tuple[HandoverRow, ...]:
    """Return one row per device fitted on a day, by contractor and tag.

    Raises ``WrongUse`` for a contractor with no record.
    """
    fittings = _fittings(state, on, contractor)
    joints = state.joints
    exceptions = _exceptions(state, joints, on)
    rows = list(_reviewed(fittings, joints, exceptions))
    if contractor is None:
        rows += _without_record(state, on, joints, exceptions)
    return tuple(sorted(rows, key=lambda r: (r.contractor, r.joint.text)))


def _fittings(state: Snapshot, on: dt.date, contractor: str | None) -> Fittings:
    devices = state.devices
    pairs = [(devices[r.device_id], r) for r in state.fittings.values()]
    fitted = set(fitted_in(devices, on).values())
    here = [(d, r) for d, r in pairs if r.device_id in fitted and r.installed_on <= on]
    if contractor is None:
        return reviewed(state, here)
    own = [(d, r) for d, r in here if r.contractor == contractor]
    if not own:
        known = sorted({r.contractor for _, r in here if r.contractor})
        facts = {"contractor": contractor, "known": ", ".join(known)}
        raise WrongUse(Problem("handover.none", facts))
    return reviewed(state, own)


def _reviewed(
    fittings: Fittings,
    joints: Mapping[int, Joint],
    exceptions: Mapping[str, tuple[str, ...]],
) -> Iterator[HandoverRow]:
    pairs = zip(fittings.devices, fittings.records, strict=True)
    for row, (device, record) in enumerate(pairs):
        checks = fittings.review.of(row)
        tag = joints[device.joint_id].tag
        yield HandoverRow(
            joint=Link(tag),
            contractor=record.contractor or say("handover.own"),
            serial=device.serial,
            fitted_on=device.fitted_on,
            meets=_count(checks, Result.MEETS),
            fails=_count(checks, Result.DOES_NOT_MEET),
            blank=_count(checks, Result.NOT_RECORDED),
            table=_count(checks, Result.NOT_IN_TABLES),
            punch_list=tuple(
                say(c.because, c.values)
                for result in _OPEN
                for c in checks
                if c.result is result
            ),
            exceptions=exceptions.get(tag, ()),
        )


def _count(checks: Iterable[Check], result: Result) -> int:
    return sum(c.result is result for c in checks)


def _without_record(
    state: Snapshot,
    on: dt.date,
    joints: Mapping[int, Joint],
    exceptions: Mapping[str, tuple[str, ...]],
) -> Iterator[HandoverRow]:
    papers = state.fittings.values()
    recorded = {r.device_id for r in papers if r.installed_on <= on}
    devices = state.devices
    for id_ in sorted(fitted_in(devices, on).values()):
        if id_ not in recorded:
            device = devices[id_]
            tag = joints[device.joint_id].tag
            yield HandoverRow(
                joint=Link(tag),
                contractor=say("handover.own"),
                serial=device.serial,
                fitted_on=device.fitted_on,
                punch_list=(say("handover.no_record"),),
                exceptions=exceptions.get(tag, ()),
            )


def _exceptions(
    state: Snapshot, joints: Mapping[int, Joint], on: dt.date
) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    people = state.people
    tags = tags_by_name(state, joints)
    for decision in state.decisions.values():
        over = decision.until_on is not None and decision.until_on < on
        wanted = decision.kind is DecisionKind.ACCEPTED_EXCEPTION
        if not wanted or over or decision.decided_on > on:
            continue
        facts = {
            "who": _who(people, decision),
            "by_one": by_one_person(decision),
            "day": decision.decided_on,
            "until": decision.until_on,
            "why": decision.why,
        }
        words = "accepted" if decision.until_on is None else "accepted_until"
        told = say(f"handover.{words}", facts)
        tag = tags.get(decision.subject_key, decision.subject_key)
        found[tag] = (*found.get(tag, ()), told)
    return found


def _who(people: Mapping[int, Person], decision: Decision) -> str:
    return people[decision.person_id].code if decision.person_id else "?"


def handover_page(
    state: Snapshot, frame: Frame, rows: tuple[HandoverRow, ...], contractor: str | None
) -> HandoverPage:
    """Return the page of some rows."""
    by_name: dict[str, list[HandoverRow]] = {}
    for row in rows:
        by_name.setdefault(row.contractor, []).append(row)
    facts = {
        "joints": len(rows),
        "open": sum(r.is_open for r in rows),
        "accepted": sum(bool(r.exceptions) for r in rows),
        "share": share_on_record(rows),
    }
    return HandoverPage(
        frame=frame,
        contractor=contractor or say("handover.all"),
        summary=say("handover.summary", facts),
        contractors=tuple(_contractor(name, own) for name, own in by_name.items()),
        rows=rows,
        submissions=tuple(submissions(state)),
    )


def _contractor(name: str, rows: list[HandoverRow]) -> ContractorRow:
    return ContractorRow(
        name=name,
        joints=len(rows),
        on_record=show(share_on_record(rows), "percent"),
        fails=sum(r.fails for r in rows),
        open=sum(r.is_open for r in rows),
    )


def share_on_record(rows: Iterable[HandoverRow]) -> float:
    """Return recorded facts over all asked for; what tables lack is not asked for."""
    counts = [(r.meets + r.fails, r.meets + r.fails + r.blank) for r in rows]
    recorded, asked = (sum(pair[n] for pair in counts) for n in (0, 1))
    return recorded / asked if asked else 0.0


def submissions(state: Snapshot) -> Iterator[SubmissionRow]:
    """Yield every submission kept, oldest first, with who sent it when."""
    for revision in state.every_revision(Attachment):
        record = revision.record
        if isinstance(record, Attachment) and record.view.startswith(VIEW):
            yield SubmissionRow(
                sha256=record.sha256,
                what=record.view.removeprefix(VIEW),
                on=state.local_day(revision.entry),
                by=state.entry(revision.entry).recorded_by,
            )
