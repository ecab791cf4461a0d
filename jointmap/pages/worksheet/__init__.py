"""The fitting sheet of a joint."""
