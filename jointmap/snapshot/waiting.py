"""Values that await a decision: the same list for pages and for the command."""

from jointmap.register import Held
from jointmap.storage import Reading


def open_held(state: Reading) -> list[tuple[int, Held]]:
    """Return what waits in a state, by number."""
    found = sorted(state.records(Held).items())
    return [(id_, held) for id_, held in found if held.is_open]
