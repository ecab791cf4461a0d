"""Options and values that commands share which change what is on record."""

import datetime as dt
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from jointmap.cli.options import Day, F, clock_option, read_clock

if TYPE_CHECKING:
    from jointmap.changes.change import Change


def _recording(option: Callable[[F], F]) -> Callable[[F], F]:
    """Return an option together with that of every command that records."""
    return lambda command: option(clock_option(command))


BY = _recording(
    click.option("--by", required=True, help="Who records it: a person's code.")
)
REASON = click.option("--reason", required=True, help="Why.")
DAY = click.option("--day", "on", type=Day(), help="Day it happened (default: today).")
SET = click.option(
    "--set", "sets", multiple=True, help="column=value; may be repeated."
)


def given_by(sets: tuple[str, ...]) -> dict[str, str]:
    """Return texts by column from column=value words."""
    from jointmap.errors import Problem, WrongUse

    bad = [s for s in sets if "=" not in s]
    if bad:
        raise WrongUse([Problem("revise.bad_set", value=b) for b in bad])
    pairs = (s.partition("=") for s in sets)
    return {label.strip(): text for label, _, text in pairs}


def change_by(
    site: Any,  # noqa: ANN401
    on: dt.date | None,
    by: str,
    reason: str,
    second: str = "",
) -> "Change":
    """Return day, instant, persons and reason of what is recorded now."""
    from jointmap.changes.change import Change
    from jointmap.sites.site_folder import today_at

    now = read_clock()
    return Change(on or today_at(site, now), now, by, reason, second)
