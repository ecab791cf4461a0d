"""The command that records what is another from a day on, and was not wrong before."""

import datetime as dt
from pathlib import Path

import click

from jointmap.cli.change_options import BY, REASON, SET, change_by, given_by
from jointmap.cli.options import SECOND, SITE, Day, site_to_write, tell_kept


@click.command(short_help="Facts that are others from a day on.")
@SITE
@click.argument("kind")
@click.argument("key")
@click.option("--day", "on", type=Day(), help="First day so (default: today).")
@SET
@BY
@REASON
@SECOND
def alter(  # noqa: PLR0913, PLR0917 - one for each option
    site: Path,
    kind: str,
    key: str,
    on: dt.date | None,
    sets: tuple[str, ...],
    by: str,
    reason: str,
    second: str,
) -> None:
    """Record that facts of one thing are others from a day on.

    Reads and writes SITE's register: the new values, and what they were until --day,
    which may be to come. Each day is judged by the facts of that day, each test by
    those of the day it was made. What may be altered: facts of joints (boundary, duty,
    buried, service), the purpose of boundaries, what current sources feed. Where the
    record was wrong from the first, use correct. The end of a joint's duty asks for two
    persons: --second.

    Example: jointmap change alter north joint IJ-018 --day 2026-05-02
    --set is_buried=yes --reason "backfilled after the works" --by E1
    """
    from jointmap.changes.alter import alter as run

    folder = site_to_write(site)
    change = change_by(folder, on, by, reason, second)
    tell_kept(run(folder, kind, key, given_by(sets), change))
