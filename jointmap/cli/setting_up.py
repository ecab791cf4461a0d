"""Commands that make a site and bring records in."""

import datetime as dt
import secrets
import sys
from functools import partial
from pathlib import Path
from shlex import quote

import click

from jointmap.cli.options import (
    COUNT,
    DATABASE,
    PATH,
    SITE,
    check_not_to_come,
    clock_option,
    day_options,
    end_with_open,
    read_clock,
    site_to_write,
    tell_kept,
)
from jointmap.cli.progress import progress


@click.command(short_help="The sample site, loaded and published: the main job.")
@click.argument("out", type=PATH)
def demo(out: Path) -> None:
    """Load the sample site and publish it: the main job in one command.

    Reads the sample site that comes with jointmap. Writes OUT/site (settings and
    register) and OUT/pages (index, map, due list, boundaries, dossiers, month routes).
    Ends with the path of index.html. Training data: all invented.

    Example: jointmap demo out
    """
    from jointmap.workflows.demo import run_demo

    lines: list[str] = []
    with progress() as how_far:
        report = run_demo(out, lines.append, how_far)
    for line in lines:
        click.echo(line, err=True)
    click.echo(str(report.index))


@click.command(short_help="An empty site with fill-in templates.")
@SITE
@click.option("--code", required=True, help="Short code of the site, such as ORS.")
@DATABASE
def new(site: Path, code: str, database: str | None) -> None:
    """Make an empty site folder.

    Writes SITE/site.toml, an empty SITE/register.sqlite, and SITE/templates with one
    empty sheet for each kind of record. Reads nothing. With --database
    postgresql+psycopg://USER@HOST/NAME the register is made there, beside other sites;
    a password is not kept (see the page on PostgreSQL).

    Example: jointmap new north --code NTH
    """
    from jointmap.sites.site_folder import DATABASE as OWN_FILE
    from jointmap.workflows.opening import new_site

    new_site(site, code, secrets.token_bytes(32), database=database or OWN_FILE)
    click.echo(f"{site}: fill in the sheets of {site / 'templates'}, then")
    click.echo(
        f"  jointmap load {site} {site / 'templates'} --rules --by YOUR-CODE"
        " --reason WHY"
    )
    click.echo("people.csv holds you as a register keeper, and a second person who may")
    click.echo("approve: another register keeper, an integrity engineer, an auditor;")
    click.echo("without one, decisions.csv holds a decision 'run by one person'.")


@click.command(short_help="Bring records in.")
@SITE
@click.argument("files", nargs=-1, type=PATH)
@clock_option
@click.option("--by", required=True, help="Who loads: a person's code.")
@click.option("--reason", required=True, help="Why: what this delivery is.")
@click.option("--dry-run", is_flag=True, help="Check everything, keep nothing.")
@click.option("--rules", is_flag=True, help="The files change rules, limits, models.")
def load(
    site: Path,
    files: tuple[Path, ...],
    by: str,
    reason: str,
    dry_run: bool,
    rules: bool,
) -> None:
    """Load sheets (CSV, GeoJSON, TOML) or folders of them into a site.

    Reads FILES; writes SITE's register, all accepted rows in one transaction. Rows
    that are refused or wait for a decision are named with file, line, column and value.
    A fault of a whole file refuses everything (exit 3); a fault of a row leaves out
    that row (exit 1). A kind of record that --by may not record refuses everything.
    What changes of rules, limits, models is told first and needs --rules.

    Example: jointmap load north deliveries/2026-05 --by P1 --reason "spring campaign"
    """
    from jointmap.changes.load import load as run
    from jointmap.changes.telling import told

    folder = site_to_write(site)
    now = read_clock()
    asked = partial(run, by=by, reason=reason, dry_run=dry_run, rules=rules)
    with progress() as tell:
        report = asked(folder, files, now=now, tell=tell)
    lines = told(report, site, dry_run=dry_run)
    if not dry_run:
        tell_kept(lines)
    else:
        for line in lines:
            click.echo(line)
    sys.exit(0 if report.is_clean else 1)


@click.command(short_help="What awaits a decision, with its proposal.")
@SITE
@day_options
@click.option("--accept", type=COUNT, help="Number of the line to accept as proposed.")
@click.option("--refuse", type=COUNT, help="Number of the line to refuse.")
@clock_option
@click.option("--by", help="Who decides: a person's code.")
@click.option("--reason", help="Why.")
def waiting(  # noqa: PLR0913, PLR0917 - one argument per option
    site: Path,
    on: dt.date | None,
    known: dt.date | None,
    accept: int | None,
    refuse: int | None,
    by: str | None,
    reason: str | None,
) -> None:
    """List the values that await a decision, or decide one.

    Reads SITE's register; writes it only with --accept or --refuse, as a decision with
    who and why. With --on, what waits of all that was sent by that day, as the pages of
    that day list it. Ends with 1 while something waits.

    Example: jointmap waiting north
    """
    from jointmap.changes.decide_held import decide, waiting_rows, waiting_shown

    folder = site_to_write(site)
    check_not_to_come(folder, "--known", known)
    if accept is not None and refuse is not None:
        raise click.UsageError("accept a line or refuse one, not both")
    number = accept if accept is not None else refuse
    if number is not None:
        if not (by and reason):
            raise click.UsageError("a decision needs --by and --reason")
        taken = accept is not None
        now = read_clock()
        done = decide(folder, number, now=now, by=by, reason=reason, accept=taken)
        tell_kept([done])
    rows = waiting_rows(folder, on, known)
    if rows:
        from jointmap.cli.laid_out import show

        show(waiting_shown(rows))
    end_with_open("waiting", len(rows), site=quote(str(site)))
