"""Verdicts, boundaries, suspects, clocks, dates and risk of one snapshot."""
