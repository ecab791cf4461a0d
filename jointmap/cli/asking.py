"""Commands that answer a question."""

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from jointmap.cli.options import (
    FORCE,
    PAGE_ENDINGS,
    PATH,
    SITE,
    Day,
    Format,
    day_asked,
    day_options,
    show_written,
    write_page,
)
from jointmap.cli.terminal import width_of_output

if TYPE_CHECKING:
    from jointmap.sites.site_folder import SiteFolder


@click.command(short_help="What is due, when, and why.")
@SITE
@day_options
@click.option("--until", type=Day(), default=None, help="Only dates up to this day.")
@click.option(
    "--format", "form", type=Format(["table", "csv", "json"]), default="table"
)
def due(
    site: Path,
    on: dt.date | None,
    known: dt.date | None,
    until: dt.date | None,
    form: str,
) -> None:
    """Print the due list: joints, parallel paths, sources.

    Reads SITE's register; writes nothing but its output. Each line says because of
    what and from which source.

    Example: jointmap due north --until 2026-06-30
    """
    from jointmap.pages.due.page import due_shown, due_text
    from jointmap.workflows.opening import open_site

    folder = open_site(site)
    day = day_asked(folder, on, known)
    if form == "table":
        from jointmap.cli.laid_out import show

        show(due_shown(folder, on=day, known=known, until=until))
        return
    click.echo(due_text(folder, on=day, known=known, until=until, form=form), nl=False)


@click.command(short_help="Date and verdict of one joint, path or boundary.")
@SITE
@click.argument("name")
@day_options
def why(site: Path, name: str, on: dt.date | None, known: dt.date | None) -> None:
    """Print how date and verdict come about, with every source, and what is next.

    Reads SITE's register; writes nothing but its output. NAME is that of a joint, a
    parallel path or a boundary; of a joint an older name will do.

    Example: jointmap why north IJ-018
    """
    from jointmap.workflows.opening import open_site
    from jointmap.workflows.why import why_text

    folder = open_site(site)
    day, width = day_asked(folder, on, known), width_of_output()
    click.echo(why_text(folder, name, on=day, known=known, width=width), nl=False)


@click.command(short_help="State of the boundaries, suspects, what is merged.")
@SITE
@click.argument("name", required=False)
@day_options
@click.option("--if-shorts", "tag", help="What would merge if this joint shorted.")
@click.option("--halve", "main", help="Where to read along this main to find a drain.")
@click.option(
    "--out",
    type=PATH,
    help="Boundary statement to write: .html or .pdf.",
)
@FORCE
def boundary(  # noqa: PLR0913, PLR0917
    site: Path,
    name: str | None,
    on: dt.date | None,
    known: dt.date | None,
    tag: str | None,
    main: str | None,
    out: Path | None,
    force: bool,
) -> None:
    """Print the state of one electrical boundary, or of all.

    Reads SITE's register; writes nothing but its output, and with --out the statement
    of NAME on one page. With --if-shorts TAG or --halve STRUCTURE it answers that
    question instead and saves nothing.

    Example: jointmap boundary north KP-B03 --out statement.pdf
    """
    from jointmap.workflows.opening import open_site

    _one_question({"--if-shorts": tag, "--halve": main, "--out": out}, name)
    folder = open_site(site)
    day = day_asked(folder, on, known)
    if tag:
        from jointmap.workflows.what_if_shorted import what_if_text

        click.echo(what_if_text(folder, tag, on=day, known=known), nl=False)
    elif main:
        from jointmap.workflows.halving import halving_text

        click.echo(halving_text(folder, main, on=day, known=known), nl=False)
    elif out:
        from jointmap.pages.boundary.statement import write_statement

        show_written(
            write_statement(folder, name, out, on=day, known=known, force=force)
        )
        click.echo(str(out))
    else:
        _show_boundary(folder, name, day, known)


def _show_boundary(
    folder: "SiteFolder", name: str | None, on: dt.date, known: dt.date | None
) -> None:
    """Print one boundary, or a table of all."""
    from jointmap.pages.boundary.page import boundary_table, boundary_text

    if name is None:
        from jointmap.cli.laid_out import show

        show(boundary_table(folder, on=on, known=known))
        return
    width = width_of_output()
    click.echo(boundary_text(folder, name, on=on, known=known, width=width), nl=False)


def _one_question(asked: Mapping[str, object], name: str | None) -> None:
    """Refuse options of which each asks another question; NAME is asked of by one."""
    given = [option for option, value in asked.items() if value]
    if len(given) > 1:
        raise click.UsageError(f"{' and '.join(given)}: accepted: one of them")
    if given and given != ["--out"] and name:
        raise click.UsageError(f"{given[0]} is asked of the site; accepted: no NAME")


@click.command(short_help="One joint's whole life on one page.")
@SITE
@click.argument("tag")
@day_options
@click.option("--out", type=PATH, help="HTML file to write.")
@FORCE
def dossier(
    site: Path,
    tag: str,
    on: dt.date | None,
    known: dt.date | None,
    out: Path | None,
    force: bool,
) -> None:
    """Print a joint's dossier as text, or write it as an HTML page.

    Reads SITE's register; writes the file of --out, if given.

    Example: jointmap dossier north IJ-018 --out IJ-018.html
    """
    from jointmap.files.formats import check_ending
    from jointmap.pages.dossier.page import dossier_html, dossier_text
    from jointmap.workflows.opening import open_site

    folder = open_site(site)
    day = day_asked(folder, on, known)
    if out is not None:
        check_ending(out, *PAGE_ENDINGS)
    if out is None:
        width = width_of_output()
        click.echo(
            dossier_text(folder, tag, on=day, known=known, width=width), nl=False
        )
        return
    write_page(out, lambda: dossier_html(folder, tag, on=day, known=known), force=force)
