"""Options that several commands share; no other part of ``cli`` reads the clock."""

import datetime as dt
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, NoReturn, TypeVar

import click

from jointmap.cli.terminal import ReaderGone, drop_what_waits
from jointmap.errors import Problem

F = TypeVar("F", bound=Callable[..., Any])


class Day(click.ParamType[dt.date]):
    """A day as year-month-day."""

    name = "day"

    def convert(
        self,
        value: Any,
        param: click.Parameter | None,
        ctx: click.Context | None,  # noqa: ANN401
    ) -> dt.date:
        """Return the day, or say what would be accepted."""
        if isinstance(value, dt.date):
            return value
        try:
            return dt.date.fromisoformat(value)
        except ValueError:
            self.fail(f"{value!r} is no day; accepted: 2026-05-15", param, ctx)


class Format(click.Choice[str]):
    """One of the forms that a command prints; any other is refused as endings are."""

    def convert(
        self,
        value: Any,
        param: click.Parameter | None,
        ctx: click.Context | None,  # noqa: ANN401
    ) -> Any:  # noqa: ANN401
        """Return the form; raises ``WrongUse`` for another."""
        if value not in self.choices:
            from jointmap.files.formats import no_format

            raise no_format("--format", value, value, tuple(self.choices))
        return super().convert(value, param, ctx)


class NamedPath(click.Path):
    """The path of a file or folder; an empty text, which would mean ``.``, is none."""

    def __init__(self) -> None:
        super().__init__(path_type=Path)

    def convert(
        self,
        value: Any,
        param: click.Parameter | None,
        ctx: click.Context | None,  # noqa: ANN401
    ) -> Any:  # noqa: ANN401
        """Return the path; raises ``WrongUse`` for an empty text."""
        _check_not_empty(value, param)
        return super().convert(value, param, ctx)


def _check_not_empty(value: object, param: click.Parameter | None) -> None:
    if value == "" and param is not None:
        from jointmap.errors import WrongUse

        is_option = isinstance(param, click.Option)
        name = param.opts[0] if is_option else param.human_readable_name
        raise WrongUse(Problem("command.no_path", {"name": name}))


STOPPED = 130  # what a shell tells of a command that Ctrl-C has ended
PATH = NamedPath()
MOST = 2**31 - 1  # what every database holds as a whole number
COUNT = click.IntRange(1, MOST)

SITE = click.argument("site", type=PATH)
SECOND = click.option(
    "--second", default="", help="Where two persons are asked: the other one's code."
)
PAGE_ENDINGS = (".html", ".htm")
# Whoever writes one of these means a file of that format, also where a folder or a
# backup is written, whose names may end in anything else.
FORMATS = {
    *PAGE_ENDINGS, ".pdf", ".csv", ".json", ".xlsx", ".xls", ".ods", ".docx", ".odt",
    ".txt", ".md", ".xml", ".zip", ".gz", ".tar", ".geojson", ".gpkg", ".gpx", ".kml",
    ".shp", ".svg", ".png", ".jpg", ".ics", ".sqlite", ".toml",
}  # fmt: skip


def check_format(out: Path, *accepted: str) -> None:
    """Raise ``WrongUse`` for an ending that names another format than is written."""
    ending = out.suffix.lower()
    if ending in FORMATS and ending not in accepted:
        from jointmap.files.formats import of_ending

        raise of_ending(out, accepted)


def writes(*accepted: str) -> Callable[[click.Context, click.Parameter, Path], Path]:
    """Return what looks at ``--out`` of a command that writes a folder or these."""

    def look(_ctx: click.Context, _param: click.Parameter, out: Path) -> Path:
        check_format(out, *accepted)
        return out

    return look


OUT_FOLDER = click.option(
    "--out", type=PATH, required=True, callback=writes(), help="Folder to write."
)
OUT_PAGE = click.option(
    "--out",
    type=PATH,
    required=True,
    callback=writes(*PAGE_ENDINGS),
    help="HTML file to write.",
)
FORCE = click.option(
    "--force", is_flag=True, help="Replace files that jointmap did not write."
)


def _server(
    _ctx: click.Context, param: click.Parameter, value: str | None
) -> str | None:
    """Refuse the address of a file; its words are not told: a password may be there."""
    _check_not_empty(value, param)
    scheme, mark, _ = (value or "").partition("://")
    if mark and scheme.partition("+")[0] != "postgresql":
        from jointmap.errors import WrongUse

        raise WrongUse(Problem("restore.database"))
    return value


DATABASE = click.option(
    "--database",
    callback=_server,
    help="Address of a server (default: a file in SITE).",
)


def end_with_open(told: str, count: int, **facts: object) -> NoReturn:
    """End with 1 where something is open, having said why and what is next; else 0.

    It is said apart from the answer, which may be read by a program. ``told`` is the
    last part of the sentence's id.
    """
    if count:
        from jointmap.wording import say

        click.echo(say(f"open.{told}", {"count": count, **facts}), err=True)
    sys.exit(1 if count else 0)


def show_written(told: Iterable[Problem]) -> None:
    """Print what was replaced or carried over, apart from the command's answer."""
    from jointmap.wording.problems import line_of

    for problem in told:
        click.echo(line_of(problem), err=True)


def write_page(out: Path, make: Callable[[], str], *, force: bool) -> None:
    """Write one page where output may go; make it only then."""
    from jointmap.files import check_output, put_file

    check_output(out, force=force)
    show_written(put_file(out, make(), force=force))
    click.echo(str(out))


def day_options(command: F) -> F:
    """Add ``--on`` and ``--known``."""
    on = click.option(
        "--on",
        type=Day(),
        default=None,
        help="Day to reason about (default: that of --known, else today).",
    )
    known = click.option(
        "--known", type=Day(), default=None, help="As known at the end of this day."
    )
    return on(known(command))


def clock_option(command: F) -> F:
    """Add ``--clock-is-right``, which ``site_to_write`` reads."""
    return click.option(
        _CLOCK,
        is_flag=True,
        expose_value=False,
        callback=_keep_clock,
        help="This machine's clock is right, though far from all other times.",
    )(command)


_CLOCK = "--clock-is-right"


def _keep_clock(ctx: click.Context, _param: click.Parameter, value: bool) -> None:
    ctx.meta[_CLOCK] = value


def site_to_write(path: Path) -> Any:  # noqa: ANN401
    """Open a site for a command that records something."""
    from jointmap.workflows.opening import open_site

    said = click.get_current_context().meta.get(_CLOCK, False)
    return open_site(path, clock_is_right=said)


def tell_kept(lines: Iterable[str]) -> None:
    """Print what was recorded; a fault in printing is told as no refusal."""
    try:
        for line in lines:
            click.echo(line)
        sys.stdout.flush()
    except (Exception, KeyboardInterrupt) as error:
        from jointmap.wording import say

        told = say("kept.not_told", {"error": _said(error)})
        click.echo(told, err=True)
        drop_what_waits(sys.stdout)
        sys.exit(STOPPED if isinstance(error, KeyboardInterrupt) else 1)


def _said(error: BaseException) -> str:
    if isinstance(error, KeyboardInterrupt):
        return "stopped by Ctrl-C"
    own = isinstance(error, ReaderGone)
    return str(error) if own else f"{type(error).__name__}: {error}"


def read_clock() -> dt.datetime:
    """Return the instant now, in UTC."""
    return dt.datetime.now(dt.UTC)


def check_not_to_come(site: Any, option: str, given: str | dt.date | None) -> None:  # noqa: ANN401
    """Raise ``WrongUse`` for a day after today, where an option was given one."""
    from jointmap.sites import site_folder

    try:
        day = dt.date.fromisoformat(str(given or ""))
    except ValueError:
        return  # none given, or a fingerprint
    site_folder.check_not_to_come(site, read_clock(), option, day)


def day_asked(
    site: Any,  # noqa: ANN401
    on: dt.date | None,
    known: dt.date | None,
) -> dt.date:
    """Return the day that a question is about, by this machine's clock."""
    from jointmap.sites import site_folder

    return site_folder.day_asked(site, read_clock(), on, known)
