"""Checks of an installation record; ``CHECKS`` lists them all."""

from jointmap.assembly.checks import CHECKS, Check, Result, review

__all__ = ["CHECKS", "Check", "Result", "review"]
