"""Pressure on laminate: under the steel washer, and on the gasket."""

import numpy as np

from jointmap.register.columns import Floats


def ring_area(outside_metre: Floats, inside_metre: Floats) -> Floats:
    """Return the area of a ring in square metres."""
    return np.asarray(np.pi / 4.0 * (outside_metre**2 - inside_metre**2))


def washer_pressure(load_newton: Floats, washer_area_square_metre: Floats) -> Floats:
    """Return the pressure in pascal that one stud puts on its isolating washer."""
    return load_newton / washer_area_square_metre


def gasket_pressure(
    stud_count: Floats, load_newton: Floats, gasket_area_square_metre: Floats
) -> Floats:
    """Return the pressure in pascal of all studs on the gasket; no inside pressure."""
    return stud_count * load_newton / gasket_area_square_metre
