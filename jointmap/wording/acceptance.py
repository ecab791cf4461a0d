"""Sentences of acceptance."""

SENTENCES: dict[str, str] = {}
