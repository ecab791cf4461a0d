"""Finding a joint by its tag or an older name."""

import difflib
from collections.abc import Iterable, Mapping

from jointmap.errors import Problem, WrongUse
from jointmap.register import Alias, Joint


def joint_called(
    tag: str, joints: Mapping[int, Joint], aliases: Iterable[Alias]
) -> int:
    """Return the joint of a tag or an older name, whatever its letters' case.

    A tag written the very same way comes before all others.

    Raises ``WrongUse`` that names the nearest tags.
    """
    exact = [id_ for id_, joint in joints.items() if joint.tag == tag.strip()]
    if exact:
        return exact[0]
    wanted = tag.strip().lower()
    names = {j.tag.lower(): id_ for id_, j in joints.items()}
    for alias in aliases:
        names.setdefault(alias.name.lower(), alias.joint_id)
    if wanted not in names:
        near = difflib.get_close_matches(wanted, names, n=3, cutoff=0.0)
        nearest = ", ".join(joints[names[n]].tag for n in near)
        raise WrongUse(Problem("joint.unknown", {"tag": tag, "nearest": nearest}))
    return names[wanted]
