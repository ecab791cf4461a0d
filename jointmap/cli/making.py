"""Commands that write pages."""

import datetime as dt
from pathlib import Path

import click

from jointmap.cli.options import (
    FORCE,
    OUT_FOLDER,
    OUT_PAGE,
    PATH,
    SITE,
    day_asked,
    day_options,
    end_with_open,
    show_written,
    write_page,
)
from jointmap.cli.progress import progress


@click.command("map", short_help="The joint map: one HTML file, no network.")
@SITE
@day_options
@OUT_PAGE
@FORCE
def map_page(
    site: Path, on: dt.date | None, known: dt.date | None, out: Path, force: bool
) -> None:
    """Write the map of all joints as one HTML file that opens from disk.

    Reads SITE's register; writes the file of --out.

    Example: jointmap map north --out map.html
    """
    from jointmap.pages.map_page import map_html
    from jointmap.workflows.opening import open_site

    folder = open_site(site)
    day = day_asked(folder, on, known)
    write_page(out, lambda: map_html(folder, on=day, known=known), force=force)


@click.command(short_help="Routes and sheets for a month.")
@SITE
@click.argument("month")
@day_options
@OUT_FOLDER
@FORCE
def month(
    site: Path,
    month: str,
    on: dt.date | None,
    known: dt.date | None,
    out: Path,
    force: bool,
) -> None:
    """Plan the test routes of a month and write one sheet per crew and day.

    Reads SITE's register; writes MONTH's overview and sheets into the folder of --out.
    MONTH is written 2026-06. The folder changes over whole: sheets that are no longer
    planned are gone from it. Prints the month's totals and what has no route; ends with
    1 where the last allowed day of any of that is not after the month.

    Example: jointmap month north 2026-06 --out june
    """
    from jointmap.cli.laid_out import show
    from jointmap.pages.month.page import write_month
    from jointmap.workflows.opening import open_site

    folder = open_site(site)
    day = day_asked(folder, on, known)
    with progress() as tell:
        done = write_month(
            folder, month, out, on=day, known=known, force=force, tell=tell
        )
    show_written(done.told)
    show(done.totals)
    click.echo(str(done.index))
    end_with_open("month", done.left, month=month)


@click.command(short_help="Joints in an open format for other programs.")
@SITE
@day_options
@click.option("--out", type=PATH, required=True, help="File to write.")
@FORCE
def export(
    site: Path, on: dt.date | None, known: dt.date | None, out: Path, force: bool
) -> None:
    """Write all joints with place, verdict and next date to one file.

    Reads SITE's register; writes the file of --out, whose ending names the format:
    .csv, .geojson, .gpkg or .gpx.

    Example: jointmap export north --out joints.gpkg
    """
    from jointmap.wording import say
    from jointmap.workflows.export import export_joints
    from jointmap.workflows.opening import open_site

    folder = open_site(site)
    day = day_asked(folder, on, known)
    with progress() as tell:
        done = export_joints(folder, out, on=day, known=known, force=force, tell=tell)
    show_written(done.told)
    click.echo(say("export.done", {"out": str(out), "count": done.count}))


@click.command(short_help="A folder of pages that opens from disk.")
@SITE
@day_options
@OUT_FOLDER
@FORCE
def publish(
    site: Path, on: dt.date | None, known: dt.date | None, out: Path, force: bool
) -> None:
    """Write index, map, due list, boundaries, dossiers and findings.

    Reads SITE's register; writes the folder of --out, which changes over whole: until
    then it holds what it held. Pages that are no longer made are gone from it; months
    published in it, and files of yours, stay. Ends with the path of index.html.

    Example: jointmap publish north --out pages
    """
    from jointmap.workflows.opening import open_site
    from jointmap.workflows.publish import write_pages

    folder = open_site(site)
    day = day_asked(folder, on, known)
    with progress() as tell:
        done = write_pages(folder, out, on=day, known=known, force=force, tell=tell)
    show_written(done.told)
    click.echo(str(done.index))
