"""What happens to a place in its life: a new name, a new device, the end of duty."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from typing import cast

from jointmap.changes.change import Change, begin, check_day
from jointmap.changes.joint_days import check_is_there
from jointmap.changes.revise import as_written, put, values_of
from jointmap.changes.rows.context import Context, local_day
from jointmap.changes.rows.records_checked import check_record
from jointmap.errors import Problem, WrongUse
from jointmap.exchange import SHEETS
from jointmap.incoming.size_limits import check_cell
from jointmap.register import Alias, Device, Joint
from jointmap.register.like_tags import says_no_tag
from jointmap.register.same_letters import odd_mark, skeleton
from jointmap.sites.site_folder import SiteFolder
from jointmap.snapshot.fitted import fitted_in
from jointmap.snapshot.names.joint_names import joint_called
from jointmap.storage import Writing
from jointmap.wording import say


def rename(site: SiteFolder, tag: str, new: str, change: Change) -> str:
    """Give a joint another tag; the old one stays findable, with its days.

    Raises ``WrongUse`` for a name that another joint has or had, and for a day before
    the joint's first or before the end of an older name.
    """
    with begin(site, change) as job:
        id_, joint = joint_of(job, tag)
        check_day(job, change)
        _check_name(job, id_, joint, new.strip())
        check_is_there(job, id_, joint, change)
        put(job, id_, replace(joint, tag=new.strip()), change.reason)
        _note_alias(job, id_, joint.tag, change)
    return say("rename.done", {"old": joint.tag, "new": new.strip(), "day": change.on})


def joint_of(job: Writing, tag: str) -> tuple[int, Joint]:
    """Return the joint of a tag or an older name; raises ``WrongUse``."""
    known = job.known("joint")
    if (found := known.id_of((tag.strip(),))) is not None:
        return found, cast("Joint", known.record(found))
    joints = {i: cast("Joint", r) for i, (_, r) in known.by_id.items()}
    tags = {i: joint.tag for i, joint in joints.items()}
    older = ((a.name, a.joint_id) for a in _aliases(job))
    id_ = joint_called(tag, tags, older)
    return id_, joints[id_]


def _aliases(job: Writing) -> list[Alias]:
    return [cast("Alias", r) for _, r in job.known("alias").by_id.values()]


def _check_name(job: Writing, id_: int, joint: Joint, new: str) -> None:
    if not new:
        raise WrongUse(Problem("rename.empty"))
    if new == joint.tag:
        raise WrongUse(Problem("rename.same", {"new": new}))
    check_cell(new, "tag")
    if mark := odd_mark(new):
        raise WrongUse(Problem("row.odd_mark", {"mark": mark}, value=new))
    if says_no_tag(new):
        raise WrongUse(Problem("row.no_tag", value=new))
    owners = {skeleton(a.name): a.joint_id for a in _aliases(job)}
    joints = job.known("joint").by_id
    owners |= {skeleton(cast("Joint", r).tag): i for i, (_, r) in joints.items()}
    if owners.get(skeleton(new), id_) != id_:
        raise WrongUse(Problem("rename.taken", {"new": new}))


def _note_alias(job: Writing, joint_id: int, name: str, change: Change) -> None:
    own = job.known("alias").having(joint_id=joint_id)
    ends = [a.until_on for _, r in own if (a := cast("Alias", r)).until_on]
    alias = Alias(
        joint_id=joint_id,
        name=name,
        from_on=max(ends, default=None),
        until_on=change.on,
        remark=change.reason,
    )
    known = job.known("alias").id_of(alias.key())
    if known is None:
        job.add(alias)
    else:
        put(job, known, alias, change.reason)


def replace_device(
    site: SiteFolder, tag: str, given: Mapping[str, str], change: Change
) -> str:
    """Fit a new device at a place: the place keeps its tag, the device before ends.

    ``given`` holds text by column of the sheet of devices; without a kind it is that of
    the device before. Raises ``WrongUse`` for a day on or before that one's first.
    """
    with begin(site, change) as job:
        check_day(job, change)
        id_, joint = joint_of(job, tag)
        own = devices_of(job, id_)
        last = max(own.values(), key=lambda d: d.fitted_on, default=None)
        if last is not None and last.fitted_on >= change.on:
            facts = {"tag": joint.tag, "old": last.fitted_on}
            raise WrongUse(Problem("replace.too_early", facts))
        take_out(job, own, change)
        job.add(_new_device(job, id_, last, given, change))
    return _told(joint.tag, last, change)


def _told(tag: str, last: Device | None, change: Change) -> str:
    facts = {"tag": tag, "day": change.on, "old": last and last.fitted_on}
    if last is None:
        return say("replace.first", facts)
    if last.removed_on is None:
        return say("replace.done", facts)
    return say("replace.after", facts | {"removed": last.removed_on})


def devices_of(job: Writing, joint_id: int) -> dict[int, Device]:
    """Return every device that is or was fitted at a joint, by id."""
    found = job.known("device").having(joint_id=joint_id)
    return {id_: cast("Device", r) for id_, r in found}


def take_out(job: Writing, own: Mapping[int, Device], change: Change) -> None:
    """End the device of a joint that is fitted by all that is on record, if one is."""
    for id_ in fitted_in(own, dt.date.max).values():
        put(job, id_, replace(own[id_], removed_on=change.on), change.reason)


def _new_device(
    job: Writing,
    joint_id: int,
    old: Device | None,
    given: Mapping[str, str],
    change: Change,
) -> Device:
    sheet = SHEETS["devices"]
    values = values_of(job, sheet, given)
    if old is not None:
        values.setdefault("kind", old.kind)
    if "kind" not in values:
        raise WrongUse(Problem("cell.missing", column="kind"))
    values |= {"joint_id": joint_id, "fitted_on": change.on}
    device = Device(**values, as_written=as_written(sheet, "", given))
    check_record(device, Context(job, change.now, local_day(job, change.now)))
    return device
