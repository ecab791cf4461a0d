"""The record chain: canonical bytes, trees of hashes, entries."""
