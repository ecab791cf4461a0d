"""Whether a register is as this program wrote it, row by row and object by object."""
