"""The hash tree of RFC 9162 section 2.1, grown leaf by leaf in little memory."""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

_AT_ONCE = 10  # levels that are reckoned at a time: 1,024 leaves


def leaf_hash(data: bytes) -> bytes:
    """Return the 32-byte hash of one leaf."""
    return hashlib.sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """Return the hash of the node above two others."""
    return hashlib.sha256(b"\x01" + left + right).digest()


def tree_root(leaves: Sequence[bytes]) -> bytes:
    """Return the root over ``leaves``; of none, the hash of nothing.

    The tree is built level by level: an odd last node moves up unchanged, which gives
    the same root as the recursive definition.
    """
    level = list(leaves)
    if not level:
        return hashlib.sha256(b"").digest()
    while len(level) > 1:
        level = _level_above(level)
    return level[0]


def _level_above(level: list[bytes]) -> list[bytes]:
    sha = hashlib.sha256
    pairs = zip(level[::2], level[1::2], strict=False)
    above = [sha(b"\x01" + a + b).digest() for a, b in pairs]
    return above + level[len(above) * 2 :]


@dataclass(slots=True)
class GrowingTree:
    """A tree that is handed its leaves in order and keeps only what it still needs."""

    count: int = 0
    _waiting: list[bytes] = field(default_factory=list)
    # Roots of full subtrees; place n stands for 1,024 * 2**n leaves.
    _full: list[bytes | None] = field(default_factory=list)

    def push(self, leaf: bytes) -> None:
        """Add the next leaf."""
        self.count += 1
        self._waiting.append(leaf)
        if len(self._waiting) == 1 << _AT_ONCE:
            self._carry(tree_root(self._waiting))
            self._waiting.clear()

    def root(self) -> bytes:
        """Return the root over the leaves so far."""
        if not self.count:
            return tree_root(())
        parts = [p for p in self._full if p is not None]
        if self._waiting:
            parts.insert(0, tree_root(self._waiting))
        found = parts[0]
        for left in parts[1:]:
            found = node_hash(left, found)
        return found

    def _carry(self, root: bytes) -> None:
        for place, full in enumerate(self._full):
            if full is None:
                self._full[place] = root
                return
            self._full[place] = None
            root = node_hash(full, root)
        self._full.append(root)


def inclusion_proof(leaves: Sequence[bytes], position: int) -> list[bytes]:
    """Return the audit path of RFC 9162 section 2.1.3.1 for one leaf, lowest first.

    Raises ``IndexError`` where there is no leaf at ``position``.
    """
    if not 0 <= position < len(leaves):
        raise IndexError(position)
    path, level = [], list(leaves)
    while len(level) > 1:
        beside = position ^ 1
        if beside < len(level):
            path.append(level[beside])
        level, position = _level_above(level), position // 2
    return path


def root_by_proof(
    leaf: bytes, position: int, count: int, path: Sequence[bytes]
) -> bytes | None:
    """Return the root that a proof leads to, None where it is no proof.

    As RFC 9162 section 2.1.3.2 checks it.
    """
    if not 0 <= position < count:
        return None
    found, steps = leaf, iter(path)
    for is_right in _turns(position, count):
        step = next(steps, None)
        if step is None:
            return None
        found = node_hash(step, found) if is_right else node_hash(found, step)
    return found if next(steps, None) is None else None


def _turns(position: int, count: int) -> Iterator[bool]:
    """Yield, from the leaf up, whether the node stands to the right of its sibling."""
    last = count - 1
    while last > 0:
        if position % 2 or position < last:
            yield bool(position % 2)
        position, last = position // 2, last // 2
