"""The register on a day as known on a day: read, joined, as columns."""
