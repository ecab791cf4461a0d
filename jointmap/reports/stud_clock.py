"""The picture that tells how studs are numbered."""

import math

from markupsafe import Markup


def stud_clock(count: int) -> Markup:
    """Return a flange of ``count`` studs with their numbers, as SVG.

    Seen from side A to side B; holes straddle the centreline, so stud 1 is the first
    one clockwise of top dead centre.
    """
    studs = Markup("").join(_stud(n, count) for n in range(1, count + 1))
    return Markup(
        '<svg class="clock" viewBox="-60 -60 120 120" aria-hidden="true">'
        '<circle r="57" class="line"/><circle r="24" class="line"/>'
        '<path class="line" d="M0-57V-48M-4-52L0-57L4-52"/>{}</svg>'
    ).format(studs)


def _stud(number: int, count: int) -> Markup:
    turn = 2 * math.pi * (number - 0.5) / count
    x, y = 42 * math.sin(turn), -42 * math.cos(turn)
    size = min(8.0, 90.0 / count)
    return Markup(
        '<circle cx="{:.1f}" cy="{:.1f}" r="{:.1f}" class="stud{}"/>'
        '<text x="{:.1f}" y="{:.1f}" font-size="{:.1f}" class="{}">{}</text>'
    ).format(
        x,
        y,
        size,
        " one" if number == 1 else "",
        x,
        y + 0.42 * size,
        1.2 * size,
        "one" if number == 1 else "other",
        number,
    )
