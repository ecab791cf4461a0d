"""Everything that writes into the register."""
