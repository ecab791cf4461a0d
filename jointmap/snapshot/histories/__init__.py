"""What was read at places, and done there, one time after another."""
