"""Commands that change what is on record; nothing is ever overwritten."""

import datetime as dt
from pathlib import Path

import click

from jointmap.cli.altering import alter
from jointmap.cli.change_options import BY, DAY, REASON, SET, change_by, given_by
from jointmap.cli.options import (
    COUNT,
    PATH,
    SECOND,
    SITE,
    Day,
    site_to_write,
    tell_kept,
)


@click.command(short_help="Correct a record: a new revision with a reason.")
@SITE
@click.argument("kind")
@click.argument("key")
@SET
@BY
@REASON
@SECOND
def correct(  # noqa: PLR0913, PLR0917 - one for each option
    site: Path,
    kind: str,
    key: str,
    sets: tuple[str, ...],
    by: str,
    reason: str,
    second: str,
) -> None:
    """Correct values of one record; the old ones stay visible.

    Reads and writes SITE's register. KIND is a kind of record (joint, test, device),
    KEY the words that name it: a tag, or for a test joint, day and method. Columns and
    values are those of the sheets. A rule, a limit, the site's own values, a role that
    may approve, the end of a joint's duty ask for two persons: --second.

    Example: jointmap change correct north test "IJ-003 2026-04-21"
    --set "reading=640 kohm" --reason "read from the wrong line of the sheet" --by P1
    """
    from jointmap.changes.revise import revise as run

    folder = site_to_write(site)
    change = change_by(folder, None, by, reason, second)
    tell_kept(run(folder, kind, key, given_by(sets), change))


@click.command(short_help="Give a joint another tag; the old one still finds it.")
@SITE
@click.argument("tag")
@click.argument("new")
@DAY
@BY
@REASON
def rename(
    site: Path, tag: str, new: str, on: dt.date | None, by: str, reason: str
) -> None:
    """Change a joint's tag and keep the old one as an alias with its days.

    Reads and writes SITE's register.

    Example: jointmap change rename north IJ-018 IJ-118 --reason "new numbering" --by E1
    """
    from jointmap.changes.change_joint import rename as run

    folder = site_to_write(site)
    tell_kept([run(folder, tag, new, change_by(folder, on, by, reason))])


@click.command(short_help="A new device at a place that keeps its tag.")
@SITE
@click.argument("tag")
@DAY
@SET
@BY
@REASON
def replace(
    site: Path,
    tag: str,
    on: dt.date | None,
    sets: tuple[str, ...],
    by: str,
    reason: str,
) -> None:
    """Record that another device was fitted; the one before ends on that day.

    Reads and writes SITE's register. Columns are those of the sheet of devices. The
    device's statistics start anew; the clock of the rules does not.

    Example: jointmap change replace north IJ-018 --day 2026-05-20 --set serial=K-77
    --reason "stud 5 shorted" --by P1
    """
    from jointmap.changes.change_joint import replace_device

    folder = site_to_write(site)
    change = change_by(folder, on, by, reason)
    tell_kept([replace_device(folder, tag, given_by(sets), change)])


@click.command(short_help="Take a joint out of duty.")
@SITE
@click.argument("tag")
@click.option(
    "--how",
    type=click.Choice(["cut out", "left, gap proved", "left, bonded"]),
    required=True,
    help="What became of it.",
)
@DAY
@BY
@REASON
@SECOND
def retire(  # noqa: PLR0913, PLR0917 - one for each option
    site: Path,
    tag: str,
    how: str,
    on: dt.date | None,
    by: str,
    reason: str,
    second: str,
) -> None:
    """End a joint's duty; its history stays, and its boundary is judged without it.

    Reads and writes SITE's register: the joint's state, its device if cut out, the bond
    if bonded, and the decision. A joint that was in duty or is left in place asks for
    two persons: --second. It advises, it does not authorise: the release of a joint is
    for those whom local codes name.

    Example: jointmap change retire north IJ-018 --how "cut out"
    --reason "line rerouted" --by E1 --second A1
    """
    from jointmap.changes.retire_joint import retire as run

    folder = site_to_write(site)
    tell_kept(run(folder, tag, how, change_by(folder, on, by, reason, second)))


@click.command(short_help="Permit a boundary to be joined on purpose.")
@SITE
@click.argument("name")
@click.option("--authority", required=True, help="Who permits it.")
@click.option("--from", "on", type=Day(), help="First day (default: today).")
@click.option("--until", type=Day(), help="Last day (default: no end).")
@BY
@REASON
@SECOND
def join(  # noqa: PLR0913, PLR0917 - one for each option
    site: Path,
    name: str,
    authority: str,
    on: dt.date | None,
    until: dt.date | None,
    by: str,
    reason: str,
    second: str,
) -> None:
    """Record that two structures may be one: by whom, from when, until when.

    Reads and writes SITE's register: the boundary and the decision. Its joints are then
    not called shorted. Asks for two different persons: --by and --second.

    Example: jointmap change join north KP-B03 --authority "head of integrity"
    --until 2026-12-31 --reason "one section during repair" --by E1 --second A1
    """
    from jointmap.changes.retire_joint import join_on_purpose

    folder = site_to_write(site)
    change = change_by(folder, on, by, reason, second)
    tell_kept([join_on_purpose(folder, name, authority, until, change)])


@click.command(short_help="Put a test off by decision; its date stays.")
@SITE
@click.argument("name")
@click.option("--until", type=Day(), required=True, help="New day it is planned for.")
@click.option("--authority", required=True, help="Who or what permits it.")
@click.option("--kind", default="", help="joint, boundary, parallel path or source.")
@DAY
@BY
@REASON
@SECOND
def defer(  # noqa: PLR0913, PLR0917 - one for each option
    site: Path,
    name: str,
    until: dt.date,
    authority: str,
    kind: str,
    on: dt.date | None,
    by: str,
    reason: str,
    second: str,
) -> None:
    """Record that the test of a joint, path, boundary or source is put off.

    Reads and writes SITE's register: one decision. The last allowed day and its basis
    stay; a line past its day stays past. Asks for two different persons, --by and
    --second, and for an end within 366 days. Whether a test may be put off is for those
    whom the rule and local codes name.

    Example: jointmap change defer north IJ-030 --until 2026-05-29
    --authority "head of integrity" --reason "track under water" --by E1 --second A1
    """
    from jointmap.workflows.defer import Asked
    from jointmap.workflows.defer import defer as run

    folder = site_to_write(site)
    asked = Asked(name, kind, authority, until)
    tell_kept(run(folder, asked, change_by(folder, on, by, reason, second)))


@click.command(short_help="Attach a file to a record.")
@SITE
@click.argument("file", type=PATH)
@click.option("--to", nargs=2, required=True, metavar="KIND KEY", help="The record.")
@click.option("--view", default="", help="What it shows: front, drawing, certificate.")
@BY
@REASON
def attach(
    site: Path, file: Path, to: tuple[str, str], view: str, by: str, reason: str
) -> None:
    """Keep a file in the site and link it to a record; one file, many records.

    Reads FILE; writes SITE's attachments and register. PDF, PNG, JPEG, TIFF, WebP, SVG
    and UTF-8 text are accepted, by what is in them, up to 64 MiB. The file is kept as
    sent and never opened by a page: pages show a copy of a picture, made anew without
    scripts and metadata.

    Example: jointmap change attach north front.jpg --to joint IJ-018 --view front
    --by P1 --reason "spring campaign"
    """
    from jointmap.changes.attach import attach as run

    folder = site_to_write(site)
    change = change_by(folder, None, by, reason)
    tell_kept(run(folder, file, to, view, change))


@click.command(short_help="A second person has seen what another changed.")
@SITE
@click.argument("entry", type=COUNT)
@BY
@REASON
def seen(site: Path, entry: int, by: str, reason: str) -> None:
    """Record that the changes of one entry were looked at by a second person.

    Reads and writes SITE's register: one decision. Each change of rules, limits, models
    and what one person decided alone stays among the findings until then; a finding
    names its ENTRY. Nobody sees his own changes.

    Example: jointmap change seen north 25 --by A1
    --reason "compared with procedure, edition 4"
    """
    from jointmap.changes.see_change import see

    folder = site_to_write(site)
    click.echo(see(folder, entry, change_by(folder, None, by, reason)))


@click.group(short_help="Correct, alter, rename, replace, retire, defer, join, attach.")
def change() -> None:
    """Change what is on record; nothing is ever overwritten.

    Example: jointmap change rename north IJ-018 IJ-118 --reason "new numbering" --by E1
    """


for _command in (correct, alter, rename, replace, retire, join, defer, attach, seen):
    change.add_command(_command)
