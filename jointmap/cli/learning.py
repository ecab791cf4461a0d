"""Commands that learn from the record, and say what a change would do."""

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

import click

from jointmap.cli.options import (
    FORCE,
    MOST,
    OUT_PAGE,
    PATH,
    SECOND,
    SITE,
    clock_option,
    day_asked,
    day_options,
    read_clock,
    site_to_write,
    write_page,
)
from jointmap.cli.progress import progress

T = TypeVar("T", int, float, str)
MONTHS = click.IntRange(0, 600)  # as in the sheets of rules


@click.command(short_help="A failure model from the site's own record.")
@SITE
@day_options
@click.option(
    "--errors",
    type=PATH,
    help="CSV of your own error rates of methods, laid over the defaults.",
)
@click.option(
    "--targets",
    type=PATH,
    help="CSV of your own targets and caps by consequence class.",
)
@click.option(
    "--repeat-days",
    type=click.IntRange(0, MOST),
    help="Tests of one method and verdict this near count once; else 7, or as adopted.",
)
@click.option(
    "--adopt", is_flag=True, help="Put it in force: risk and trend set dates."
)
@clock_option
@click.option("--by", default="", help="Who adopts: a person's code.")
@click.option("--reason", default="", help="Why it is adopted.")
@SECOND
def learn(  # noqa: PLR0913, PLR0917 - one option each
    site: Path,
    on: dt.date | None,
    known: dt.date | None,
    errors: Path | None,
    targets: Path | None,
    repeat_days: int | None,
    adopt: bool,
    by: str,
    reason: str,
    second: str,
) -> None:
    """Learn failure rates, ageing and scatter from a site's own record.

    Reads SITE's register; writes a dated model into SITE/models. No due date changes
    until the owner adopts a model: with --adopt it is written into the register.
    The headings of both CSV files stand on the page of the failure model's defaults.

    Adopting asks for two different persons: --by and --second.

    Example: jointmap model learn north --adopt --by E1 --second A1
    --reason "yearly review"
    """
    from jointmap.errors import Problem, WrongUse
    from jointmap.workflows import learn as job

    if adopt and not (by and reason):
        raise WrongUse(Problem("learn.by_and_why"))
    folder = site_to_write(site)
    tables = job.OwnTables(errors, targets, repeat_days)
    day = day_asked(folder, on, known)
    with progress() as tell:
        found, text = job.learn_text(
            folder, on=day, known=known, tables=tables, tell=tell
        )
    click.echo(text, nl=False)
    if adopt:
        from jointmap.changes.change import Change

        change = Change(day, read_clock(), by, reason, second)
        done = job.adopt(folder, found, change)
        click.echo(done, nl=False)


@click.command("try", short_help="What a changed rule or target would do.")
@SITE
@day_options
@click.option("--target", multiple=True, help="Chance at the end, such as B=0.01.")
@click.option("--cap", multiple=True, help="Longest months, such as C=24.")
@click.option("--months", multiple=True, help="A rule's months, such as NAME=18.")
@click.option("--without", multiple=True, help="A rule in force to leave out.")
@click.option(
    "--method", multiple=True, help="Errors of another: METHOD=AS-THIS-METHOD."
)
@click.option("--all", "every", is_flag=True, help="List every date that moves.")
def try_rules(  # noqa: PLR0913, PLR0917 - one option each
    site: Path,
    on: dt.date | None,
    known: dt.date | None,
    target: tuple[str, ...],
    cap: tuple[str, ...],
    months: tuple[str, ...],
    without: tuple[str, ...],
    method: tuple[str, ...],
    every: bool,
) -> None:
    """Say what a change would do to work and risk; nothing is saved.

    Reads SITE's register; writes nothing but its output: tests a year, joints shorted
    unseen, dates moved. Without a model in force the default prior is asked.

    Example: jointmap rules try north --target B=0.01
    --months owner-protection-normal=18
    """
    from jointmap.workflows.opening import open_site
    from jointmap.workflows.what_if import MOST_SHOWN, Changes, what_if_text

    changes = Changes(
        _pairs("--target", target, float),
        _pairs("--cap", cap, _months),
        _pairs("--months", months, _months),
        without,
        _pairs("--method", method, str),
    )
    folder = open_site(site)
    day, most = day_asked(folder, on, known), None if every else MOST_SHOWN
    text = what_if_text(folder, changes, on=day, known=known, most=most)
    click.echo(text, nl=False)


def _months(text: str) -> int:
    return MONTHS.convert(int(text), None, None)


def _pairs(
    option: str, given: tuple[str, ...], kind: Callable[[str], T]
) -> dict[str, T]:
    found = {}
    for text in given:
        name, _, value = text.partition("=")
        try:
            found[name] = kind(value)
        except ValueError:
            raise click.BadParameter(f"{option} {text}: write NAME=NUMBER") from None
    return found


@click.command(short_help="Classes of kits that fail early.")
@SITE
@day_options
def early(site: Path, on: dt.date | None, known: dt.date | None) -> None:
    """Print the classes of kits that failed most unlike all others when young.

    Reads SITE's register; writes nothing but its output. Each raw chance stands beside
    one that allows for all classes looked at.

    Example: jointmap model early north
    """
    from jointmap.assessment.early import early_told, too_few_told
    from jointmap.pages.asked import assessed
    from jointmap.wording import say_told
    from jointmap.workflows.opening import open_site

    folder = open_site(site)
    with assessed(folder, day_asked(folder, on, known), known) as (found, _):
        for told in early_told(found) or [too_few_told(found)]:
            click.echo(say_told(told))


@click.command(short_help="Shorts as predicted and as found: a page.")
@SITE
@day_options
@OUT_PAGE
@FORCE
def predicted(
    site: Path, on: dt.date | None, known: dt.date | None, out: Path, force: bool
) -> None:
    """Write the page that holds the failure model against what was found.

    Reads SITE's register; writes the file of --out: per quarter with a band, per class,
    and the share failed by age.

    Example: jointmap model predicted north --out predicted.html
    """
    from jointmap.workflows.opening import open_site
    from jointmap.workflows.predicted_found import predicted_html

    folder = open_site(site)
    day = day_asked(folder, on, known)
    write_page(out, lambda: predicted_html(folder, on=day, known=known), force=force)


@click.command("list", short_help="Rules and limits in force, with sources.")
@SITE
@day_options
def list_rules(site: Path, on: dt.date | None, known: dt.date | None) -> None:
    """Print the rules and limits in force on a day, each with its source.

    Reads SITE's register; writes nothing but its output. A set of rules is adopted by
    loading adopted.csv with --rules.

    Example: jointmap rules list north
    """
    from jointmap.cli.laid_out import show
    from jointmap.workflows.opening import open_site
    from jointmap.workflows.rules_listed import rules_shown

    folder = open_site(site)
    show(rules_shown(folder, on=day_asked(folder, on, known), known=known))


@click.group(short_help="Rules in force, and what a changed one would do.")
def rules() -> None:
    """Ask about rules and limits; they change by decisions that are loaded.

    Example: jointmap rules list north
    """


@click.group(short_help="Learn failure rates, adopt them, hold them against facts.")
def model() -> None:
    """Learn from the site's own record, and say how well it foretells.

    Example: jointmap model learn north
    """


for _command in (list_rules, try_rules):
    rules.add_command(_command)
for _command in (learn, early, predicted):
    model.add_command(_command)
