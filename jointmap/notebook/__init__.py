"""The Python face: a site's answers as tables for a notebook; nothing is written."""

from jointmap.notebook.site import OpenSite, open  # noqa: A004 - `jointmap.open(path)`

__all__ = ["OpenSite", "open"]
