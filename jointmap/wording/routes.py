"""Sentences of routes."""

SENTENCES: dict[str, str] = {}
