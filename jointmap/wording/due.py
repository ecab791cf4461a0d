"""Sentences of due."""

SENTENCES: dict[str, str] = {}
