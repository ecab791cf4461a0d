"""Values that await a decision: the same list for pages and for the command."""

from jointmap.register import Held
from jointmap.snapshot.snapshot import Snapshot


def open_held(state: Snapshot) -> list[tuple[int, Held]]:
    """Return what waits in a state, by number."""
    found = sorted(state.held.items())
    return [(id_, held) for id_, held in found if held.is_open]
