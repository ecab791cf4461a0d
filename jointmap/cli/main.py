"""The group of all commands, and how errors end."""

import atexit
import gc
import os
import sys
import traceback
from typing import Any

import click

from jointmap.cli.asking import boundary, dossier, due, why
from jointmap.cli.changing import change
from jointmap.cli.fitting import handover, worksheet
from jointmap.cli.keeping import backup, restore, upgrade, verify
from jointmap.cli.learning import model, rules
from jointmap.cli.making import export, map_page, month, publish
from jointmap.cli.options import STOPPED
from jointmap.cli.reasoning import REASONING
from jointmap.cli.setting_up import demo, load, new, waiting
from jointmap.cli.terminal import ReaderGone, visible_output
from jointmap.errors import JointmapError
from jointmap.plain_text import visible
from jointmap.version import __version__

TRACE_VARIABLE = "JOINTMAP_TRACE"
# What is imported stays for good: looking through it for each 700 new objects, and once
# more at the end, was a seventh of a short command's time.
OBJECTS_PER_SWEEP = 50_000
READER_GONE = 141  # what a shell tells of a command that a closed pipe has ended
# ``color``: click would else take escape sequences out of what it prints to a file, and
# they would be lost instead of shown. This program prints none of its own.
SETTINGS = {"max_content_width": 100, "color": True}


class Commands(click.Group):
    """A group whose commands end with a sentence, never with a traceback."""

    def main(self, *args: Any, **kwargs: Any) -> Any:  # noqa: ANN401
        """Run the program; whatever is printed, this group's own words too, is seen."""
        with visible_output():
            try:
                return super().main(*args, **kwargs)
            except ReaderGone:
                sys.exit(READER_GONE)

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Refuse a word that is no text: no file of such a name could be told of."""
        for word in args:
            try:
                word.encode()
            except UnicodeEncodeError:
                shown = os.fsencode(word).decode("utf-8", "backslashreplace")
                text = f"{shown} is no UTF-8 text; accepted: UTF-8 (rename a file)"
                raise click.UsageError(text, ctx) from None
        return super().parse_args(ctx, args)

    def invoke(self, ctx: click.Context) -> Any:  # noqa: ANN401
        """Run a command; turn a refusal into its lines and its exit code."""
        try:
            return super().invoke(ctx)
        except JointmapError as error:
            from jointmap.wording.problems import lines_of

            for line in lines_of(error.problems):
                click.echo(line, err=True)
            sys.exit(error.exit_code)
        except KeyboardInterrupt:
            from jointmap.wording import say

            click.echo(say("command.stopped"), err=True)
            sys.exit(STOPPED)
        except OSError as error:
            click.echo(visible(f"{error.strerror}: {error.filename}"), err=True)
            sys.exit(3)
        except (click.ClickException, click.exceptions.Exit, click.Abort, ReaderGone):
            raise
        except Exception as error:
            if os.environ.get(TRACE_VARIABLE):
                # Printed here, while the output is watched: its words may be anyone's.
                click.echo(traceback.format_exc(), err=True, nl=False)
                sys.exit(3)
            fault = visible(f"{type(error).__name__}: {error}")
            told = f"jointmap met a fault of its own ({fault})."
            advice = (
                "Run 'jointmap verify SITE' in case the register was changed by hand"
            )
            more = f"{advice}; set {TRACE_VARIABLE}=1 to see where."
            click.echo(f"{told} {more}", err=True)
            sys.exit(3)


@click.group(cls=Commands, context_settings=SETTINGS)
@click.version_option(__version__, prog_name="jointmap")
def main() -> None:
    """Register and map of electrically isolating joints.

    It advises, it does not authorise: local codes and licensed practice rule.

    Exit codes: 0 done, 1 findings, rows that await a decision or a month that leaves
    something out, 2 wrong use, 3 refused input, 4 integrity broken, 130 stopped by
    Ctrl-C, 141 the reader of the output went away.
    """
    gc.set_threshold(OBJECTS_PER_SWEEP)
    atexit.register(gc.freeze)


for _command in (
    *REASONING, change, model, rules,
    demo, new, load, waiting, map_page, due, why, boundary, dossier, month, publish,
    export, verify, worksheet, handover, backup, restore, upgrade,
):  # fmt: skip
    main.add_command(_command)
