"""One module per job a user does; the only place where storage meets rules."""
