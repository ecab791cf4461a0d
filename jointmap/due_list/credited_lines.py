"""One line for everything that the reading which one item asks for credits."""

from dataclasses import dataclass

import numpy as np

from jointmap.due_list.building import in_due_order
from jointmap.intervals import DueItems
from jointmap.register.columns import Codes, Days, Flags, Floats, Ids, Table


@dataclass(frozen=True, slots=True)
class Credit(Table):
    """Per due item: what a reading made for it credits, and what credits it."""

    group: Ids  # equal numbers are one test group; 0 stands alone
    x_metre: Floats  # working system; NaN without a place
    y_metre: Floats
    gives: Flags  # the reading it asks for tells of the boundary, not of one device
    takes: Flags  # a reading made at another item of its group moves its date


@dataclass(frozen=True, slots=True)
class DueLines(Table):
    """One row per reading to be made: the item it is made for and those it credits."""

    item: Ids  # place in DueItems of the earliest: the reading is made there
    subject: Codes  # of that item
    subject_id: Ids
    last_allowed_on: Days  # of that item, the earliest of the line
    planning_on: Days  # the earliest of the line
    member_from: Ids  # the line's items stand in ``members`` from here
    member_count: Ids


def grouped(
    items: DueItems, credit: Credit, reach_metre: float
) -> tuple[DueLines, Ids]:
    """Return lines in due order, and the items of all lines, line after line.

    A line is the earliest item that no line holds yet, with the items of its group that
    the reading made there credits: those within ``reach_metre`` of it that take credit.

    Returns
    -------
    lines, members
        ``members[line.member_from:][:line.member_count]`` are the places in ``items``
        whose dates the line's one reading moves, the earliest first.
    """
    order = in_due_order(items)
    driver = _drivers(credit.take(order), reach_metre)
    _, count = np.unique(driver, return_counts=True)
    # Drivers stand in the order of their items; then the items, line after line.
    members = order[np.argsort(driver, kind="stable")]
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


def _drivers(credit: Credit, reach_metre: float) -> Ids:
    """Return for each item, in due order, the place of the item it is read with."""
    driver = np.arange(len(credit))
    rows = np.flatnonzero(credit.group > 0)
    while len(rows):
        # Where nobody left gives credit each stands alone.
        group = credit.group[rows]
        rows = rows[np.isin(group, group[credit.gives[rows]])]
        _, first, place = np.unique(
            credit.group[rows], return_index=True, return_inverse=True
        )
        head = rows[first][place]
        away = np.hypot(
            credit.x_metre[rows] - credit.x_metre[head],
            credit.y_metre[rows] - credit.y_metre[head],
        )
        credited = credit.gives[head] & credit.takes[rows] & (away <= reach_metre)
        taken = credited | (rows == head)
        driver[rows[taken]] = head[taken]
        rows = rows[~taken]
    return driver


def _earliest(days: Days, member_from: Ids) -> Days:
    if len(member_from) == 0:
        return days
    earliest: Days = np.fmin.reduceat(days, member_from)
    return earliest
