"""How far a long job is: told to whoever asked for it, and to nobody else.

A job that may take long is given a function that takes the id of what is done now, how
many of them are done, and of how many. It writes nothing itself.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import TypeAlias, TypeVar

T = TypeVar("T")
HowFar: TypeAlias = Callable[[str, int, int], None]


def to_nobody(_stage: str, _done: int, _of: int) -> None:
    """Tell nobody how far a job is."""


def counted(items: Iterable[T], stage: str, of: int, tell: HowFar) -> Iterator[T]:
    """Yield items and tell before each how many were done.

    >>> told = []
    >>> list(counted("ab", "rows", 2, lambda *how_far: told.append(how_far)))
    ['a', 'b']
    >>> told
    [('rows', 0, 2), ('rows', 1, 2), ('rows', 2, 2)]
    """
    done = 0
    for item in items:
        tell(stage, done, of)
        yield item
        done += 1
    tell(stage, done, of)
