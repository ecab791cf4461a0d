"""Commands that keep a register sound."""

import sys
from pathlib import Path

import click

from jointmap.cli.options import SITE


@click.command(short_help="Is the register what its own chain says?")
@SITE
@click.option("--against", help="A fingerprint from a page, a sheet or a pack.")
def verify(site: Path, against: str | None) -> None:
    """Go through every row, entry and attached file of a register.

    Reads SITE; writes nothing. Names the first rows and entries that do not fit. With
    --against, also says whether the register still holds the state that a fingerprint
    names: an end cut off, or a register rewritten with new hashes, shows only so. Ends
    with 4 when something is broken.

    Example: jointmap verify north
    """
    from jointmap.workflows.site_folder import open_site
    from jointmap.workflows.verify import verify_site

    report = verify_site(open_site(site), against)
    for line in report.lines:
        click.echo(line, err=not report.is_sound)
    sys.exit(0 if report.is_sound else 4)
