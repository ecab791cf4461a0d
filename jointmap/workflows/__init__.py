"""One module per job a user does."""
