"""Figures of visits as columns, made of plain numbers."""

import numpy as np

from jointmap.acceptance.same_figures import FIGURES, FigureColumns
from jointmap.register.codes import Side

NONE = dict.fromkeys(FIGURES, np.nan)
POTENTIALS = ("a_on_volt", "a_off_volt", "b_on_volt", "b_off_volt")


def row(day, *millivolt, spot=1, side=-1, bound=0, **more):
    volts = [np.nan if v is None else v / 1e3 for v in millivolt]
    place = {"spot": spot, "side": side, "reading_bound": bound, "tested_on": day}
    return (
        NONE
        | dict(zip(POTENTIALS, volts, strict=False))
        | place
        | {"interrupted_side": Side.A.code}
        | more
    )


def stud(day, *megohm, **more):
    return [
        row(day, side=side, reading_ohm=ohm * 1e6, **more)
        for side, ohm in enumerate(megohm)
    ]


def read(*rows):
    columns = {n: np.array([r[n] for r in rows]) for n in rows[0]}
    columns["tested_on"] = columns["tested_on"].astype("datetime64[D]")
    return FigureColumns(test_id=np.arange(1, len(rows) + 1), **columns)
