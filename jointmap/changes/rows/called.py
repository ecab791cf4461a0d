"""Which record is called just so: looked up by its name as written."""

import datetime as dt
from typing import cast

from jointmap.changes.rows.find_record import is_by_name
from jointmap.exchange import Ref
from jointmap.register import Alias
from jointmap.storage.known import Knows


def find(job: Knows, ref: Ref) -> int | None:
    """Return the id of what a reference names, older names of joints included."""
    if ref.kind == "device":
        return _find_device(job, ref.key)
    found = job.known(ref.kind).id_of((ref.key,))
    if found is None and ref.kind == "joint":
        return _find_alias(job, ref.key)
    return found


def is_called(job: Knows, kind: str, name: str) -> bool:
    """Whether a record of a kind is called just so; false also where that takes more.

    For kinds with a key of one name, and for devices; of others all names are needed.
    """
    asked = is_by_name(kind) or kind == "device"
    return asked and find(job, Ref(kind, name)) is not None


def _find_device(job: Knows, key: str) -> int | None:
    tag, _, day = key.rpartition(" ")
    joint = find(job, Ref("joint", tag))
    try:
        fitted_on = dt.date.fromisoformat(day)
    except ValueError:
        return None
    return job.known("device").id_of((joint, fitted_on))


def _find_alias(job: Knows, name: str) -> int | None:
    aliases = job.known("alias").having(name=name)
    return cast("Alias", aliases[0][1]).joint_id if aliases else None
