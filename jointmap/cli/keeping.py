"""Commands that keep a register sound."""

import sys
from pathlib import Path
from typing import Any

import click

from jointmap.cli.options import COUNT, DATABASE, PATH, SITE, writes
from jointmap.cli.progress import progress


@click.command(short_help="Is the register what its own chain says?")
@SITE
@click.option("--against", help="A fingerprint from a page, a sheet or a pack.")
@click.option("--record", nargs=2, metavar="KIND KEY", help="Only prove this record.")
@click.option("--revision", type=COUNT, help="Of --record (default: the newest).")
def verify(
    site: Path,
    against: str | None,
    record: tuple[str, str] | None,
    revision: int | None,
) -> None:
    """Go through every object, row, entry, file and setting of a site.

    Reads SITE; writes nothing. Names what in the database, the chain, the folder or
    site.toml is missing, changed or of somebody else. With --against, also says whether
    the register still holds the state that a fingerprint names: an end cut off, or a
    register rewritten with new hashes, shows only so. Ends with 4 when something is
    broken.

    With --record it prints instead, as JSON, the proof that this record is in the
    register: its line, the hashes on the way to its entry, the entries from there on.
    Who has a fingerprint of one of them can check it without the register.

    Example: jointmap verify north
    """
    if record is not None and against is not None:
        raise click.UsageError("a proof is checked against a fingerprint elsewhere")
    if revision is not None and record is None:
        raise click.UsageError("--revision is one of a --record")
    from jointmap.workflows.opening import open_site
    from jointmap.workflows.soundness.verify import verify_site

    if record is not None:
        from jointmap.workflows.soundness.prove import proof_text

        click.echo(proof_text(open_site(site), *record, revision), nl=False)
        return
    with progress() as tell:
        report = verify_site(site, against, tell)
    for line in report.lines:
        click.echo(line, err=not report.is_sound)
    sys.exit(0 if report.is_sound else 4)


@click.command(short_help="Copy a site into one file, while others work.")
@SITE
@click.option(
    "--out",
    type=PATH,
    required=True,
    callback=writes(".zip"),
    help="New file to write.",
)
def backup(site: Path, out: Path) -> None:
    """Write a register and its attached files into one new file, and verify the copy.

    Reads SITE; writes the file of --out. Others may go on working. Ends with 4 when the
    copy does not verify.

    Example: jointmap backup north --out north-2026-05-15.zip
    """
    from jointmap.workflows.opening import open_site
    from jointmap.workflows.soundness.backup import backup as run
    from jointmap.workflows.soundness.verify import lines_of

    with progress() as tell:
        kept = run(open_site(site), out, tell)
    click.echo(_told("backup.done", kept))
    if kept.checked.problems:
        for line in [*lines_of(kept.checked), _say("backup.broken")]:
            click.echo(line, err=True)
        sys.exit(4)


@click.command(short_help="Make a site folder from a backup.")
@click.argument("file", type=PATH)
@SITE
@DATABASE
def restore(file: Path, site: Path, database: str | None) -> None:
    """Make a new site folder from a backup, and verify it.

    Reads FILE; writes SITE, which must be absent or empty, and with --database a
    server. Whole or not at all.

    Example: jointmap restore north-2026-05-15.zip north-again
    """
    from jointmap.sites.site_folder import DATABASE as OWN_FILE
    from jointmap.workflows.soundness.backup import restore as run

    with progress() as tell:
        kept = run(file, site, database or OWN_FILE, tell)
    click.echo(_told("restore.done", kept))


@click.command(short_help="Bring a register of an older version up to date.")
@SITE
def upgrade(site: Path) -> None:
    """Bring the tables of a register up to those of this program.

    Reads and writes SITE's register. Rows stay as they are. Back up first.

    Example: jointmap upgrade north
    """
    from jointmap.workflows.soundness.upgrade import upgrade_site

    click.echo(upgrade_site(site))


def _told(name: str, kept: Any) -> str:  # noqa: ANN401
    none = "unknown" if kept.checked.problems else "none"
    entry = kept.checked.fingerprint.partition("-")[0] or none
    facts = {"place": kept.place, "entry": entry, "files": kept.files}
    return _say(name, facts)


def _say(name: str, facts: dict[str, object] | None = None) -> str:
    from jointmap.wording import say

    return say(name, facts)
