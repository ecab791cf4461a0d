"""Who may record what, and what asks for a decision or for two persons."""
