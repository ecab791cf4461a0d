"""Records read as columns: one array a field, many rows at once."""
