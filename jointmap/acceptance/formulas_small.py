"""Small sums at a desk: touch current, skin depth, sleeve room, unseen failure."""

import math

from jointmap.acceptance.sound import refuse_unless_positive, refused

_MU_0 = 4e-7 * math.pi


def touch_current(voltage: float, body: float) -> float:
    """Return the current (A) through a body of that resistance (ohm)."""
    refuse_unless_positive(voltage=voltage, body=body)
    return voltage / body


def skin_depth(frequency: float, resistivity: float, permeability: float) -> float:
    """Return how deep (m) alternating current runs: why radio sees only locally."""
    refuse_unless_positive(
        frequency=frequency, resistivity=resistivity, permeability=permeability
    )
    return math.sqrt(resistivity / (math.pi * frequency * permeability * _MU_0))


def sleeve_room(hole: float, stud: float, sleeve_wall: float) -> float:
    """Return the room (m) left on each side of a centred stud with its sleeve.

    Misalignment beyond this cuts the sleeve.
    """
    refuse_unless_positive(hole=hole, stud=stud, sleeve_wall=sleeve_wall)
    room = (hole - stud) / 2 - sleeve_wall
    if room < 0:
        raise refused("no_room", value=-room)
    return room


def unseen_failure(rate: float, interval: float, coverage: float, life: float) -> float:
    """Return the mean chance that a hidden failure stands (first order, small rates).

    ``rate`` is per second as ``interval`` and ``life`` are seconds; what the test
    cannot see (1 - ``coverage``) stands until the end of ``life``.
    """
    refuse_unless_positive(rate=rate, interval=interval, life=life)
    if not 0 < coverage <= 1:
        raise refused("share", name="coverage", value=coverage)
    return rate * (coverage * interval + (1 - coverage) * life) / 2


def half_remaining_life(actual: float, least: float, rate: float, most: float) -> float:
    """Return half the time (s) until a wall is down to its least, and never over most.

    ``rate`` is in metre per second.
    """
    refuse_unless_positive(actual=actual, least=least, rate=rate, most=most)
    if actual < least:
        raise refused("below_least", actual=actual, least=least)
    return min((actual - least) / rate / 2, most)
