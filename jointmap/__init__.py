"""jointmap: a site-wide register and map of isolating joints.

>>> import jointmap
>>> callable(jointmap.open)
True
"""

from typing import TYPE_CHECKING

from jointmap.version import __version__ as __version__

if TYPE_CHECKING:
    from jointmap.notebook import open as open  # noqa: A004 - `jointmap.open(path)`


def __getattr__(name: str) -> object:
    # The command line imports this module too, and has no use for the Python face.
    if name == "open":
        from jointmap import notebook

        return notebook.open
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
