"""What is due and why: for one joint, or for a million."""

from jointmap.due_list.building import build, build_on, due_until, in_due_order
from jointmap.due_list.credited_lines import Credit, DueLines, grouped
from jointmap.due_list.steps import (
    Numbers,
    all_because,
    because,
    no_numbers,
    steps,
)

__all__ = [
    "Credit",
    "DueLines",
    "Numbers",
    "all_because",
    "because",
    "build",
    "build_on",
    "due_until",
    "grouped",
    "in_due_order",
    "no_numbers",
    "steps",
]
