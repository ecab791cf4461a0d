"""Sentences of record."""

SENTENCES: dict[str, str] = {}
