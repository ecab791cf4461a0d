"""Trying the pages, maps and lists on a change before it is kept."""
