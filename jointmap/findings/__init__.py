"""Findings: what somebody should look at, found by one function each."""
