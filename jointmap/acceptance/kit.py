"""Resistance of a flange kit from its parts."""

from jointmap.register.columns import Floats


def stud_resistance(side_a_ohm: Floats, side_b_ohm: Floats) -> Floats:
    """Return each stud's resistance between the flanges: its two sides in series."""
    return side_a_ohm + side_b_ohm


def kit_resistance(gasket_ohm: float, stud_ohm: Floats) -> float:
    """Return the joint's resistance: gasket and every stud in parallel.

    A flange can fail a limit of 1 Mohm with no bad part: 12 studs of 5 Mohm beside a
    gasket of 100 Mohm make 0.415 Mohm.
    """
    return float(1.0 / (1.0 / gasket_ohm + (1.0 / stud_ohm).sum()))
