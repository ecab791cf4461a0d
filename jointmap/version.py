"""The version of the program, as pages and files state it."""

__version__ = "0.1.0"
