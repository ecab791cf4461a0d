"""Sentences of exchange."""

SENTENCES: dict[str, str] = {}
