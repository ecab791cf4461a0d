"""Finding a joint by its tag or an older name."""

import difflib
from collections.abc import Iterable, Mapping

from jointmap.errors import Problem, WrongUse
from jointmap.register import Alias, Joint
from jointmap.snapshot.names.unknown_names import unknown_name
from jointmap.snapshot.snapshot import Snapshot
from jointmap.storage.as_columns.arrays import read_arrays


def joint_asked(state: Snapshot, tag: str) -> int:
    """Return the joint that a state knows by a tag or an older name.

    Raises ``WrongUse`` for one that no joint has. A tag written as it is on record is
    looked up; only for others all names are read.
    """
    exact = state.stored.ids_with(Joint, "tag", [tag.strip()])
    found = exact[0] if exact else joint_of_any_name(state, tag)
    if found is None:
        raise unknown_name(state, tag.strip(), [Joint])
    return found


def joint_of_any_name(state: Snapshot, tag: str) -> int | None:
    """Return the joint of a tag or an older name, whatever its letters' case."""
    joints = read_arrays(state.stored, Joint, ["tag"])
    aliases = read_arrays(state.stored, Alias, ["name", "joint_id"])
    tags = dict(zip(joints["id"].tolist(), joints["tag"].tolist(), strict=True))
    older = zip(aliases["name"].tolist(), aliases["joint_id"].tolist(), strict=True)
    return _by_any_name(tags, older).get(tag.strip().lower())


def _by_any_name(
    tags: Mapping[int, str], older: Iterable[tuple[str, int]]
) -> dict[str, int]:
    """Return joints by their names in small letters; tags come before older names."""
    names = {known.strip().lower(): id_ for id_, known in tags.items()}
    for name, id_ in older:
        names.setdefault(name.strip().lower(), id_)
    return names


def joint_called(
    tag: str, tags: Mapping[int, str], older: Iterable[tuple[str, int]]
) -> int:
    """Return the joint of a tag or an older name, whatever its letters' case.

    A tag written the very same way comes before all others. ``tags`` are those of all
    joints by id, ``older`` other names, each with its joint's id. Raises ``WrongUse``
    that names the nearest tags.
    """
    exact = [id_ for id_, known in tags.items() if known == tag.strip()]
    if exact:
        return exact[0]
    wanted, names = tag.strip().lower(), _by_any_name(tags, older)
    if wanted not in names:
        near = difflib.get_close_matches(wanted, names, n=3, cutoff=0.0)
        nearest = ", ".join(tags[names[n]] for n in near)
        raise WrongUse(Problem("joint.unknown", {"tag": tag, "nearest": nearest}))
    return names[wanted]


def tags_by_name(state: Snapshot, joints: Mapping[int, Joint]) -> dict[str, str]:
    """Return the tag of each joint by every name that it has or had."""
    older = {a.name: joints[a.joint_id].tag for a in state.aliases.values()}
    return older | {joint.tag: joint.tag for joint in joints.values()}
