"""The due list and its steps."""
