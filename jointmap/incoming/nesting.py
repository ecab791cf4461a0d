"""How deep brackets stand one inside the other, counted before anything recurses."""

import re

from jointmap.incoming.size_limits import DEPTH, beyond

_BRACKETS = b"[]{}"
_AS_ONE = bytes.maketrans(b"{}", b"[]")
_OPENS = b"["[0]
_COUNTED = 1_000_000  # of what is refused anyway
_OTHER_BYTES = bytes(set(range(256)) - set(_BRACKETS))
# One character or its opposite: no two ways to match, so time goes with length.
_STRINGS = re.compile(rb'"[^"]*"?')


def check_depth(name: str, text: str) -> None:
    """Refuse brackets deeper than the limit; what stands in double quotes is text."""
    own = text.encode().replace(rb"\\", b"").replace(rb"\"", b"")
    left = _STRINGS.sub(b"", own).translate(_AS_ONE, _OTHER_BYTES)
    for _ in range(DEPTH.most):
        left = left.replace(b"[]", b"")  # takes off the innermost level
    inside = DEPTH.most if b"[]" in left else 0
    if inside or left.count(b"[") > DEPTH.most:
        raise beyond(DEPTH, inside + _deepest(left), name)


def _deepest(brackets: bytes) -> int:
    deepest = depth = 0
    for bracket in brackets[:_COUNTED]:
        depth += 1 if bracket == _OPENS else -1
        deepest = max(deepest, depth)
    return deepest
