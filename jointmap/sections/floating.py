"""Structures that nothing on record feeds or earths: they float."""

import numpy as np

from jointmap.register.codes import StructureKind
from jointmap.register.columns import Codes, Flags, Ids

# In the ground or in water, or earthed by whoever lives there.
_EARTHED = [
    k.code
    for k in StructureKind
    if k not in (StructureKind.PLANT_PIPING, StructureKind.JETTY)
]


def floating(kinds: Codes, is_protected: Flags, is_fed: Flags, groups: Ids) -> Flags:
    """Return which structures float.

    Parameters
    ----------
    kinds, is_protected, is_fed, groups
        One entry per structure: its kind, whether it is meant to be protected (then it
        lies in the ground), whether a source feeds it, and its electrical group now.

    Returns
    -------
    Flags
        True where no structure of the group is protected, fed, or of a kind that is
        itself in contact with the earth.
    """
    held: Flags = is_protected | is_fed | np.isin(kinds, _EARTHED)
    return ~np.isin(groups, groups[held])
