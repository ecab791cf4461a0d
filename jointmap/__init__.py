"""jointmap: a site-wide register and map of isolating joints."""

__version__ = "0.1.0"
