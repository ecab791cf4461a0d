"""Commands about fitting a joint."""

import datetime as dt
from pathlib import Path

import click

from jointmap.cli.change_options import change_by
from jointmap.cli.options import (
    FORCE,
    OUT_FOLDER,
    PATH,
    SITE,
    clock_option,
    day_asked,
    day_options,
    end_with_open,
    show_written,
    site_to_write,
    writes,
)


@click.command(short_help="Fitting sheet: studs, sleeve, passes, order, cautions.")
@SITE
@click.argument("tags", nargs=-1, required=True, metavar="TAG...")
@day_options
@click.option(
    "--out",
    type=PATH,
    required=True,
    callback=writes(".pdf", ".html"),
    help="Folder to write, or for one TAG a file that ends in .pdf or .html.",
)
@click.option(
    "--scheme",
    default="thirds",
    show_default=True,
    help="Tightening scheme: thirds, 'PCC-1 legacy', 'cross, then round', or your own"
    " as shares of the torque, 30/60/100/100 (what repeats the 100 goes round).",
)
@FORCE
def worksheet(  # noqa: PLR0913, PLR0917 - one argument per option
    site: Path,
    tags: tuple[str, ...],
    on: dt.date | None,
    known: dt.date | None,
    out: Path,
    scheme: str,
    force: bool,
) -> None:
    """Write the fitting worksheet of each TAG as HTML and as PDF (A4).

    Reads SITE's register; writes two files per joint into the folder of --out, or the
    one file that --out names. The sheet shows what is to be fitted, cautions, numbers
    in both unit systems, the order of the studs, the torque of each pass, and a box per
    stud.

    Example: jointmap worksheet north IJ-050 --out sheets
    """
    from jointmap.workflows.opening import open_site
    from jointmap.workflows.worksheet import write_worksheets

    folder = open_site(site)
    day = day_asked(folder, on, known)
    done = write_worksheets(
        folder, tags, out, on=day, known=known, scheme=scheme, force=force
    )
    show_written(done.told)
    for path in done.paths:
        click.echo(str(path))


@click.command(short_help="Contractor to owner: joints, what is open, kept as sent.")
@SITE
@day_options
@OUT_FOLDER
@click.option("--contractor", help="Only this contractor's records.")
@click.option("--submit", is_flag=True, help="Keep the submission as sent.")
@clock_option
@click.option("--by", help="Who submits: a person's code (with --submit).")
@click.option("--reason", help="Why (with --submit).")
@click.option("--as-sent", help="Give back a kept submission: start of its SHA-256.")
@FORCE
def handover(  # noqa: PLR0913, PLR0917 - one argument per option
    site: Path,
    on: dt.date | None,
    known: dt.date | None,
    out: Path,
    contractor: str | None,
    submit: bool,
    by: str | None,
    reason: str | None,
    as_sent: str | None,
    force: bool,
) -> None:
    """Write what a contractor hands over to the owner.

    Reads SITE's register; writes handover.html, handover.csv and submission.json into
    the folder of --out: each joint with what its fitting record meets, what does not,
    what is missing, and which exceptions were accepted. With --submit that
    submission is kept in the site, byte for byte, with who and why; --as-sent gives it
    back. Ends with 1 while a joint has open points that nobody accepted.

    Example: jointmap handover north --contractor "Contractor South" --out south
    """
    from jointmap.workflows import handover as job

    folder = site_to_write(site)
    if as_sent is not None:
        back = job.give_back(folder, as_sent, out, force=force)
        show_written(back.told)
        click.echo(str(back.index))
        return
    if submit and not (by and reason):
        raise click.UsageError("a submission needs --by and --reason")
    day = day_asked(folder, on, known)
    done = job.write_handover(
        folder, out, on=day, known=known, contractor=contractor, force=force
    )
    show_written(done.told)
    if submit:
        change = change_by(folder, on, by or "", reason or "")
        click.echo(job.submit(folder, out, contractor, change))
    click.echo(str(done.index))
    end_with_open("handover", done.open, first=done.first, page=str(done.index))
