"""Share of devices failed by age: Turnbull's steps and a Weibull curve, as SVG text."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from jointmap.plain_text import markup
from jointmap.site_map.style import ACCENT, INK, PAPER, QUIET

WIDTH_PX, HEIGHT_PX, LEFT_PX, FOOT_PX = 560, 280, 48, 36
_CURVE_POINTS = 60


@dataclass(frozen=True, slots=True)
class LifePlot:
    """What is drawn: ``steps`` are (from age, to age, share failed by then)."""

    steps: Sequence[tuple[float, float, float]]
    rate: float  # of the Weibull law; 0: none could be fitted
    shape: float
    most_years: float
    years_label: str
    share_label: str


def life_plot(plot: LifePlot) -> str:
    """Return the plot; where the share lies within an interval a slope is drawn."""
    top = _top(plot)
    parts = [
        f'<svg viewBox="0 0 {WIDTH_PX} {HEIGHT_PX}" width="{WIDTH_PX}" role="img" '
        f'aria-label="{markup(plot.share_label)}">',
        f'<rect width="{WIDTH_PX}" height="{HEIGHT_PX}" fill="{PAPER}"/>',
        _axes(plot, top),
        _line(_turnbull_points(plot), plot, top, f'stroke="{INK}"'),
    ]
    if plot.rate > 0:
        dashed = f'stroke="{ACCENT}" stroke-dasharray="6 4"'
        parts.append(_line(_curve_points(plot), plot, top, dashed))
    return "".join([*parts, "</svg>"])


def _top(plot: LifePlot) -> float:
    highest = max((share for *_, share in plot.steps), default=0.0)
    if plot.rate > 0:
        highest = max(highest, _failed(plot, plot.most_years))
    return min(max(highest * 1.1, 0.01), 1.0)


def _failed(plot: LifePlot, years: float) -> float:
    return -math.expm1(-plot.rate * years**plot.shape)


def _turnbull_points(plot: LifePlot) -> list[tuple[float, float]]:
    points = [(0.0, 0.0)]
    for after, until, share in plot.steps:
        points += [(after, points[-1][1]), (min(until, plot.most_years), share)]
    return [*points, (plot.most_years, points[-1][1])]


def _curve_points(plot: LifePlot) -> list[tuple[float, float]]:
    ages = [plot.most_years * n / _CURVE_POINTS for n in range(_CURVE_POINTS + 1)]
    return [(age, _failed(plot, age)) for age in ages]


def _line(
    points: Sequence[tuple[float, float]], plot: LifePlot, top: float, style: str
) -> str:
    placed = " ".join(
        f"{_x(age, plot):.1f},{_y(share, top):.1f}" for age, share in points
    )
    return f'<polyline points="{placed}" fill="none" stroke-width="2" {style}/>'


def _x(age: float, plot: LifePlot) -> float:
    return LEFT_PX + (WIDTH_PX - LEFT_PX - 12) * age / plot.most_years


def _y(share: float, top: float) -> float:
    return 12 + (HEIGHT_PX - FOOT_PX - 12) * (1 - share / top)


def _axes(plot: LifePlot, top: float) -> str:
    floor, right = _y(0.0, top), _x(plot.most_years, plot)
    text = f'font-family="sans-serif" font-size="12" fill="{QUIET}"'
    return (
        f'<path d="M{LEFT_PX} 12V{floor:.1f}H{right:.1f}" fill="none" '
        f'stroke="{QUIET}"/>'
        f'<text x="{LEFT_PX - 6}" y="20" text-anchor="end" {text}>{top:.0%}</text>'
        f'<text x="{LEFT_PX - 6}" y="{floor:.1f}" text-anchor="end" {text}>0</text>'
        f'<text x="{right:.1f}" y="{HEIGHT_PX - 10}" text-anchor="end" {text}>'
        f"{plot.most_years:.0f} {markup(plot.years_label)}</text>"
    )
