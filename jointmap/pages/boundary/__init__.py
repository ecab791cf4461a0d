"""The page of a boundary and its statement."""
