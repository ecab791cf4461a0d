"""A site's joints in blocks, each with its own evidence.

Between the evidence of a joint and its dates lies much more than either; of a block it
is let go before the next.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from jointmap.sections import EvidenceColumns
from jointmap.snapshot.site_columns import Ground

AT_A_TIME = 100_000


@dataclass(frozen=True, slots=True)
class Block:
    """Some joints, one after the other, and what was seen of them."""

    rows: slice  # in the joints of the site, and so in its subjects
    ground: Ground  # with these joints only
    seen: EvidenceColumns


def blocks(ground: Ground, seen: EvidenceColumns) -> Iterator[Block]:
    """Yield the joints of a site in order; at least one block."""
    ids = ground.joints.joint_id
    for start in range(0, max(len(ids), 1), AT_A_TIME):
        rows = slice(start, min(start + AT_A_TIME, len(ids)))
        joints, facts = ground.joints.take(rows), ground.joint_facts.take(rows)
        own = replace(ground, joints=joints, joint_facts=facts)
        ends = np.append(ids[rows][:1], ids[rows][-1:] + 1).astype(seen.joint_id.dtype)
        places = np.searchsorted(seen.joint_id, ends).tolist() or [0, 0]
        yield Block(rows, own, seen.take(slice(*places)))
