"""Sentences of verdicts on potentials: differences, and shifts under interruption."""

SENTENCES: dict[str, str] = {
    "verdict.difference_isolating": (
        "{compared:volt} between the sides is over the {against:volt} limit and "
        "neither side is under current."
    ),
    "verdict.difference_still": (
        "{compared:volt} between the sides is over the {against:volt} limit, and "
        "the far side did not follow when the near was interrupted."
    ),
    "verdict.difference_under_current": (
        "{compared:volt} is over the {against:volt} limit, but under current a "
        "metal path can show as much: interrupt one side."
    ),
    "verdict.difference_between": (
        "{compared:volt} lies between the limits: add a test with interrupted current."
    ),
    "verdict.difference_shorted": (
        "{compared:volt} between the sides: as one metal (at most {against:volt})."
    ),
    "verdict.difference_small": (
        "{compared:volt} is not over the {against:volt} limit; the sides may be "
        "equal by chance: apply current."
    ),
    "verdict.balanced": (
        "Both sides are under current and {compared:volt} apart: balanced or "
        "joined, this method cannot tell. Interrupt one side's sources."
    ),
    "verdict.shift_isolating": (
        "The far side moved {compared:percent} of the near side's shift (at most "
        "{against:percent})."
    ),
    "verdict.shift_far_opposite": (
        "The far side went the other way ({compared:percent}): isolating; look for "
        "interference on the far side."
    ),
    "verdict.shift_doubtful": (
        "The far side moved {compared:percent} of the near side's shift, between "
        "the limits: leakage, or pick-up through the soil."
    ),
    "verdict.shift_shorted": (
        "The far side moved {compared:percent} of the near side's shift (over "
        "{against:percent}): joined."
    ),
    "verdict.shift_small": (
        "The near side moved only {compared:volt}, under the {against:volt} guard: "
        "too little to judge."
    ),
    "verdict.shift_wrong_sign": (
        "The near side went more positive with its current on: check signs, leads "
        "and which side was interrupted."
    ),
    "verdict.shift_sides_swapped": (
        "The far side moved much more than the near: the sides may have been "
        "written down crosswise."
    ),
    "verdict.interrupted_side_missing": "Which side was interrupted is not on record.",
    "verdict.sources_not_named": (
        "The sources that cycled, and those of the other side that stayed steady, "
        "are not all on record. If both sides cycle, every sound joint reads "
        "shorted."
    ),
    "verdict.too_few_cycles": (
        "Fewer than three cycles: a shift is the median of three or more."
    ),
    "verdict.unsteady": (
        "Unsteady: the cycles differ by more than the guard, so their median says "
        "nothing. Read again when it is calm."
    ),
    "verdict.both_sides_cycling": (
        "A source of the far side was interrupted too: then every sound joint reads "
        "shorted. Repeat with the far side steady."
    ),
    "verdict.near_side_steady": (
        "None of the sources said to cycle feeds the interrupted side: its shift was "
        "not of their making. Name what was interrupted, or interrupt a source of "
        "that side and read again."
    ),
}
