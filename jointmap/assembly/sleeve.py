"""Sleeves: how long they may be, how far they stand out, what room they leave."""

from jointmap.register.columns import Floats


def length_window(
    span_metre: Floats, isolating_washers_metre: Floats
) -> tuple[Floats, Floats]:
    """Return least and most length of a one-piece sleeve, in metres.

    ``span_metre`` is both flanges from back to back with faces and gasket between;
    ``isolating_washers_metre`` is all isolating washers of one stud. Shorter bares the
    edge of the flange; longer stands on the steel washers and takes the load.
    """
    return span_metre, span_metre + isolating_washers_metre


def projection(sleeve_metre: Floats, span_metre: Floats) -> Floats:
    """Return how far the sleeve stands out of the flanges, both ends together."""
    return sleeve_metre - span_metre


def hole_clearance(
    hole_metre: Floats, stud_metre: Floats, wall_metre: Floats
) -> Floats:
    """Return the room that stud and sleeve leave in the hole, in metres.

    Offset and rotation of the holes together must stay below it, or the sleeve is cut
    as the stud goes in.
    """
    return hole_metre - stud_metre - 2.0 * wall_metre
