"""One module per step; its number is the version of the tables."""
