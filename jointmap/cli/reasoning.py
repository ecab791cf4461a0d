"""Commands that reckon and reason."""

import datetime as dt
import sys
from pathlib import Path

import click

from jointmap.cli.options import SITE, day_asked, day_options


@click.command(short_help="Formulas at a desk: pipe resistance, leakage, ...")
@click.argument("name", required=False)
@click.argument("given", nargs=-1)
def calculate(name: str | None, given: tuple[str, ...]) -> None:
    """Work a formula with units, and show it with its source.

    Without NAME: the list of calculations. With NAME alone: what it needs. Each input
    is given as name=number unit. Reads and writes nothing but its output.

    Example: jointmap calculate span-current drop="0.17 mV" resistance="2.44 uohm/ft"
    length="200 ft"
    """
    from jointmap.workflows.calculate import calculate_text

    click.echo(calculate_text(name, given), nl=False)


@click.command(short_help="Gaps and contradictions, per joint or boundary.")
@SITE
@click.argument("subject", required=False)
@day_options
@click.option(
    "--design", is_flag=True, help="Only what can never isolate, or not there."
)
def check(
    site: Path,
    subject: str | None,
    on: dt.date | None,
    known: dt.date | None,
    design: bool,
) -> None:
    """Print every finding, or those of one joint or boundary.

    Reads SITE's register; writes nothing but its output. Ends with 1 if anything was
    found.

    Example: jointmap check north --design
    """
    from jointmap.workflows.check import check_text
    from jointmap.workflows.opening import open_site

    folder = open_site(site)
    text, count = check_text(
        folder,
        subject,
        design_only=design,
        on=day_asked(folder, on, known),
        known=known,
    )
    click.echo(text, nl=False)
    sys.exit(1 if count else 0)


REASONING = (calculate, check)
