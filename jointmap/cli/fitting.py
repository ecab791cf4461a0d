"""Commands about fitting a joint."""

import datetime as dt
from pathlib import Path

import click

from jointmap.cli.options import OUT_FOLDER, SITE, day_asked, day_options


@click.command(short_help="Fitting sheet: studs, sleeve, passes, order, cautions.")
@SITE
@click.argument("tags", nargs=-1, required=True, metavar="TAG...")
@day_options
@OUT_FOLDER
@click.option(
    "--scheme",
    default="thirds",
    show_default=True,
    help="Tightening scheme: thirds, 'PCC-1 legacy', 'cross, then round'.",
)
def worksheet(
    site: Path,
    tags: tuple[str, ...],
    on: dt.date | None,
    known: dt.date | None,
    out: Path,
    scheme: str,
) -> None:
    """Write the fitting worksheet of each TAG as HTML and as PDF (A4).

    Reads SITE's register; writes two files per joint into the folder of --out. The
    sheet shows what is to be fitted, cautions, numbers in both unit systems, the order
    of the studs, the torque of each pass, and a box per stud.

    Example: jointmap worksheet north IJ-050 --out sheets
    """
    from jointmap.workflows.site_folder import open_site
    from jointmap.workflows.worksheet import write_worksheets

    folder = open_site(site)
    day = day_asked(folder, on)
    for path in write_worksheets(folder, tags, out, on=day, known=known, scheme=scheme):
        click.echo(str(path))
