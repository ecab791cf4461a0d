"""How far a long command is: a bar on standard error, for a person who waits.

It is drawn only where standard error is a terminal, and taken away at the end. It is
drawn anew when the job tells how far it is, at most ten times a second, by no thread
of its own: jobs start processes, which would not go well with one.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from time import monotonic

from jointmap.cli.terminal import VisibleStream
from jointmap.how_far import HowFar, to_nobody

SECONDS_BETWEEN = 0.1


@contextmanager
def progress() -> Iterator[HowFar]:
    """Give what a job tells how far it is."""
    error = sys.stderr
    if not (isinstance(error, VisibleStream) and error.isatty()):
        yield to_nobody
        return
    # A tenth of a second, which only those pay who see the bar.
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    from jointmap.wording import say

    words = TextColumn("{task.description}", markup=False)
    with Progress(
        *(words, BarColumn(), MofNCompleteColumn()),
        console=Console(file=error.stream_below, markup=False, highlight=False),
        auto_refresh=False,
        transient=True,
        redirect_stdout=False,
        redirect_stderr=False,
    ) as shown:
        task = shown.add_task(say("progress.begin"), total=None)
        drawn, before = 0.0, ""

        def tell(stage: str, done: int, of: int) -> None:
            nonlocal drawn, before
            now = monotonic()
            if stage == before and now - drawn < SECONDS_BETWEEN:
                return
            drawn, before = now, stage
            said = say(f"progress.{stage}")
            shown.update(task, description=said, completed=done, total=of, refresh=True)

        yield tell
