"""One line for joints that one test credits together."""

from dataclasses import dataclass

import numpy as np

from jointmap.due_list.building import in_due_order
from jointmap.intervals import DueItems
from jointmap.register.columns import Codes, Days, Ids, Table


@dataclass(frozen=True, slots=True)
class DueLines(Table):
    """One row per test group, or per item that stands alone."""

    item: Ids  # place in DueItems of the earliest: its reason and state hold
    subject: Codes  # of that item
    subject_id: Ids
    last_allowed_on: Days  # the earliest of the group
    planning_on: Days
    member_from: Ids  # the group's items stand in ``members`` from here
    member_count: Ids


def grouped(items: DueItems, group: Ids) -> tuple[DueLines, Ids]:
    """Return lines in due order, and the items of all lines, line after line.

    Parameters
    ----------
    group
        One number per item; equal numbers are one test group, 0 stands alone.

    Returns
    -------
    lines, members
        ``members[line.member_from:][:line.member_count]`` are the places in ``items``
        that the line's one test credits, the earliest first.
    """
    order = in_due_order(items)
    key = np.where(group > 0, group, -1 - np.arange(len(items)))[order]
    _, first, line, count = np.unique(
        key, return_index=True, return_inverse=True, return_counts=True
    )
    # Lines in the order of their earliest item; then the items, line after line.
    rank = np.empty(len(first), np.int64)
    rank[np.argsort(first)] = np.arange(len(first))
    members = order[np.argsort(rank[line], kind="stable")]
    count = count[np.argsort(first)]
    member_from = np.cumsum(count) - count
    item = members[member_from]
    lines = DueLines(
        item,
        items.subject[item],
        items.subject_id[item],
        items.last_allowed_on[item],
        _earliest(items.planning_on[members], member_from),
        member_from,
        count,
    )
    return lines, members


def _earliest(days: Days, member_from: Ids) -> Days:
    if len(member_from) == 0:
        return days
    earliest: Days = np.fmin.reduceat(days, member_from)
    return earliest
