"""A site folder: its settings, its register, its making."""
