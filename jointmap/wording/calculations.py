"""Sentences of calculations at a desk and of what a formula cannot be asked."""

SENTENCES: dict[str, str] = {
    "calculate.unknown": "No calculation is called '{name}'. Known: {accepted}.",
    "calculate.not_asked": "'{name}' is not asked for here. Asked: {accepted}.",
    "calculate.no_value": "'{text}' has no value. Write name=number unit.",
    "calculate.missing": "{name} is missing. Give {accepted}.",
    "calculate.word": "{name}: '{value}' is not known. Accepted: {accepted}.",
    "calculate.bound": (
        "{name}: '{value}' is a bound, not a number; a formula needs a number."
    ),
    "calculate.twice": "{name} is given more than once. Give it once.",
    "calculate.size": (
        "No input of a formula is of this size. Accepted for {name}: 0, or {least:g} to"
        " {most:g} in units of the SI."
    ),
    "calculate.no_result": (
        "No number comes out of these inputs: the formula divides by nothing, or by a"
        " difference that is lost in rounding. Check them; two of them may be equal."
    ),
    "formula.too_many": "{value:g} studs are more than a flange has; at most {most}.",
    "formula.not_positive": "{name} is {value}; it must be above zero.",
    "formula.wall": "A wall of {wall:metre} does not fit in {outside_diameter:metre}.",
    "formula.no_step": "On ({on}) and off ({off}) are the same: there is no step.",
    "formula.geometry": (
        "'{value}' is no place of the span. Say whether it lies between the "
        "connection and the joint, or beyond the joint: the other one turns the "
        "answer round."
    ),
    "formula.negative_resistance": (
        "{value:ohm} is no resistance. A lead is crossed, or a voltage that stands "
        "across the joint was not taken off."
    ),
    "formula.above_earth": (
        "{measured:ohm} is above the ground path's {earth:ohm}: both cannot be true."
    ),
    "formula.shift_small": (
        "The near side moved {value:volt}, under the guard of {guard:volt}: the ratio "
        "of so small a step means nothing."
    ),
    "formula.shift_sign": (
        "The side under current grew {value:volt} more positive. On and off may be "
        "crossed, or the wrong source was interrupted."
    ),
    "formula.electrode": (
        "'{value}' is no electrode known here. A silver chloride electrode needs its "
        "solution: without it the answer is open by 92 mV. Known: {accepted}."
    ),
    "formula.no_room": "Stud and sleeve are {value:micrometre} too wide for the hole.",
    "formula.share": "{name} is {value}; it must be above 0 and at most 1.",
    "formula.whole": "{name} is {value}; it must be a whole number.",
    "formula.below_least": "The wall ({actual:metre}) is already under {least:metre}.",
}
