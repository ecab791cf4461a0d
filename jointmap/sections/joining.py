"""Rows that share a key, without a loop over rows."""

import numpy as np

from jointmap.register.columns import Flags, Ids


def rows_with(keys: Ids, asked: Ids) -> tuple[Ids, Ids]:
    """Return every pair (place in ``asked``, row of ``keys``) with an equal key."""
    order = np.argsort(keys, kind="stable")
    sorted_keys = keys[order]
    left = np.searchsorted(sorted_keys, asked, "left")
    count = np.searchsorted(sorted_keys, asked, "right") - left
    place = np.repeat(np.arange(len(asked)), count)
    within = np.arange(len(place)) - np.repeat(np.cumsum(count) - count, count)
    return place, order[np.repeat(left, count) + within]


def is_last_of(*keys: Ids) -> Flags:
    """Return which rows, sorted by ``keys``, are the last of their keys."""
    if not len(keys[0]):
        return np.zeros(0, np.bool_)
    changes = np.logical_or.reduce([k[1:] != k[:-1] for k in keys])
    return np.append(changes, True)
