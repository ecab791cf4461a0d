"""What things are called: names of now, look-alikes, and names of nothing."""
