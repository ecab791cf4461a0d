"""Files of a delivery: those that it names, read apart."""
