"""Commands that reckon and reason."""

import datetime as dt
from pathlib import Path
from shlex import quote

import click

from jointmap.cli.options import (
    MOST,
    SITE,
    Format,
    check_not_to_come,
    day_asked,
    day_options,
    end_with_open,
)


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


@click.command(short_help="What somebody should look at, and what changed.")
@SITE
@click.argument("subject", required=False)
@day_options
@click.option(
    "--only",
    type=click.Choice(["design", "late"]),
    help="What can never isolate or not there; what was recorded late.",
)
@click.option("--since", help="What changed since a DAY or a FINGERPRINT.")
@click.option(
    "--days",
    type=click.IntRange(0, MOST),
    help="With --only late: longer than this (default: 90).",
)
@click.option("--format", "form", type=Format(["table", "csv"]), default="table")
def findings(  # noqa: PLR0913, PLR0917 - one for each option
    site: Path,
    subject: str | None,
    on: dt.date | None,
    known: dt.date | None,
    only: str | None,
    since: str | None,
    days: int | None,
    form: str,
) -> None:
    """Print every finding, or those of one joint, parallel path or boundary.

    Reads SITE's register; writes nothing but its output. Ends with 1 if anything was
    found. With --since: what is new, what is closed and what was corrected since then.

    Example: jointmap findings north --since 2026-04-30
    """
    from jointmap.workflows.findings_listed import Wanted, found_shown
    from jointmap.workflows.opening import open_site

    wanted = Wanted(subject, only, since, days, form)
    folder = open_site(site)
    check_not_to_come(folder, "--since", since)
    day = day_asked(folder, on, known)
    told, count = found_shown(folder, wanted, on=day, known=known)
    if isinstance(told, str):
        click.echo(told, nl=False)
    else:
        from jointmap.cli.laid_out import show

        show(told)
    kind = "late" if only == "late" else "since" if since else "findings"
    end_with_open(kind, count, site=quote(str(site)), since=since)


REASONING = (calculate, findings)
