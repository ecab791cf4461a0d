"""Sentences of labels."""

SENTENCES: dict[str, str] = {}
