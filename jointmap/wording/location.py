"""Sentences of location."""

SENTENCES: dict[str, str] = {}
