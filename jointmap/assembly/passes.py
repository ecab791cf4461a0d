"""The passes of a scheme, and the torque of each as a wrench can be set."""

import re
from functools import lru_cache

import numpy as np

from jointmap.register.columns import Floats
from jointmap.tables.fitting_limits import FITTING_LIMITS
from jointmap.tables.tightening import SCHEMES, Pass

# Up to a torque, the step a wrench can be set in: never more than 5 % of the torque.
WRENCH_STEPS = ((20.0, 0.5), (100.0, 1.0), (200.0, 5.0), (np.inf, 10.0))
_LAST_BIT = 1e-9
_NAMED = {name.lower(): passes for name, passes in SCHEMES.items()}
# No two neighbours can take the same letter: time goes with the length of the text.
_SHARES = re.compile(r"\d+(?:\.\d+)?(?:\s*(?:%\s*)?[/,-]\s*\d+(?:\.\d+)?)+(?:\s*%)?")


@lru_cache(maxsize=4096)
def passes_of(scheme: str) -> tuple[Pass, ...]:
    """Return the passes of a scheme; none where it is not in our tables.

    An owner's own is written as its shares of the final torque, ``30/60/100/100``: they
    do not fall, the last is 100, and what repeats the 100 goes round.
    """
    text = scheme.strip().lower()
    if text in _NAMED:
        return _NAMED[text]
    if not _SHARES.fullmatch(text):
        return ()
    shares = [float(number) / 100.0 for number in re.findall(r"[\d.]+", text)]
    if shares[0] <= 0.0 or shares[-1] != 1.0 or shares != sorted(shares):
        return ()
    return tuple(_own(shares, place) for place in range(len(shares)))


def _own(shares: list[float], place: int) -> Pass:
    is_repeat = place > 0 and shares[place - 1] == 1.0
    return Pass(
        scheme="owner's own",
        number=place + 1,
        order="round" if is_repeat else "cross",
        share=shares[place],
        low=None,
        high=None,
        wait_hours=0.0,
        source="owner",
        clause="",
        edition="",
        mark="owner's choice",
    )


def wrench_step(torque: float) -> float:
    """Return the step to which a wrench can be set, in the unit of ``torque``."""
    return next(step for below, step in WRENCH_STEPS if torque <= below)


def pass_torques(target: float, passes: tuple[Pass, ...]) -> tuple[float, ...]:
    """Return the torque to set for each pass, in the unit of ``target``.

    Passes below the full torque are rounded down to the wrench's step: 640 in thirds
    gives 210, 420, 640, 640.
    """
    return tuple(_settable(target, p.share) for p in passes)


def _settable(target: float, share: float) -> float:
    if share >= 1.0:
        return target
    step = wrench_step(target * share)
    return float(np.floor(target * share / step + _LAST_BIT) * step)


def allowed_shares(passes: tuple[Pass, ...]) -> tuple[Floats, Floats]:
    """Return least and most share of the target for each pass of a scheme.

    A published range stands as it is; a single figure is widened by what a wrench can
    be read to (owner's choice).
    """
    read = FITTING_LIMITS["torque read"].value_si
    low = [p.share * (1 - read) if p.low is None else p.low for p in passes]
    high = [p.share * (1 + read) if p.high is None else p.high for p in passes]
    return np.array(low), np.array(high)
