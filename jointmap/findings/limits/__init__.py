"""Findings about last allowed days, and about the laws and rules that set them."""
