"""Refusing what a formula cannot be asked, all faults at once."""

import math

from jointmap.errors import Problem, Refused


def refuse_unless_positive(**values: float) -> None:
    """Refuse values that are not above zero.

    Raises
    ------
    Refused
        ``formula.not_positive``, one problem a value.
    """
    found = [
        Problem(
            "formula.not_positive",
            {"name": name.replace("_", " "), "value": value},
            column=name,
            value=str(value),
        )
        for name, value in values.items()
        if not (value > 0 and math.isfinite(value))
    ]
    if found:
        raise Refused(found)


def refused(fault: str, **values: object) -> Refused:
    """Return the refusal ``formula.FAULT`` with its values."""
    return Refused(Problem(f"formula.{fault}", values))
