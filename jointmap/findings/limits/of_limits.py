"""Limits that were broken, and those kept with only days to spare."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from jointmap.assessment.limits_told import how_kept, put_off, subject_at, years_missed
from jointmap.assessment.site_on_day import day_of
from jointmap.findings.finder import Seen, finds
from jointmap.findings.finding import About, Found
from jointmap.findings.kind import Gravity, Kind
from jointmap.intervals import HeldLimits
from jointmap.register.codes import Basis
from jointmap.register.columns import Flags, Ids
from jointmap.register.told import Told

MISSED_YEAR = Kind("missed_year", Gravity.ACT_SOON, "rule", "limit")
LAW_LIMIT_BROKEN = Kind("law_limit_broken", Gravity.ACT_SOON, "rule", "last")
LIMIT_BROKEN = Kind("limit_broken", Gravity.FOR_THE_RECORD, "rule", "last")
CLOSE_TO_LIMIT = Kind("close_to_limit", Gravity.FOR_THE_RECORD, "rule", "next")


@finds(MISSED_YEAR, CLOSE_TO_LIMIT)
def missed_limits(seen: Seen) -> Iterator[Found]:
    """Yield missed calendar years, and tests within days of a limit, under law."""
    missed, legal = seen.missed, _by_law(seen)
    told = legal & (_misses_years(missed) | missed.is_met)
    for n in np.flatnonzero(told).tolist():
        yield _missed_year(seen, n) if missed.is_broken[n] else _close(seen, n)


def _missed_year(seen: Seen, n: int) -> Found:
    missed = seen.missed
    return seen.finding(
        MISSED_YEAR,
        _about(seen, n),
        "missed_year",
        years=years_missed(missed, n),
        limit=day_of(missed.limit_on[n]),
        next=day_of(missed.next_on[n]) or Told("absent.next"),
        gap=Told("find.missed_gap_kept") if missed.gap_kept[n] else "",
        put_off=put_off(seen.site, missed, n),
    )


def _close(seen: Seen, n: int) -> Found:
    missed = seen.missed
    return seen.finding(
        CLOSE_TO_LIMIT,
        _about(seen, n),
        "close_to_limit",
        limit=day_of(missed.limit_on[n]),
        next=day_of(missed.next_on[n]),
        days=-int(missed.days_over[n]),
    )


@finds(LAW_LIMIT_BROKEN, LIMIT_BROKEN)
def broken_limits(seen: Seen) -> Iterator[Found]:
    """Yield each subject and rule whose last allowed day was passed, with every time.

    Years missed by law have a finding of their own, and what is past the limit that
    governs now is in the due list.
    """
    missed, legal = seen.missed, _by_law(seen)
    told_elsewhere = (legal & _misses_years(missed)) | _is_past_now(seen, legal)
    for own in _by_rule(seen, np.flatnonzero(missed.is_broken & ~told_elsewhere)):
        last = own[-1]
        found = seen.finding(
            LAW_LIMIT_BROKEN if legal[last] else LIMIT_BROKEN,
            _about(seen, last),
            "limit_broken",
            count=len(own),
            times=tuple(_broken(seen, n) for n in own),
            last=day_of(missed.limit_on[last]),
        )
        source = seen.site.assessed.sources[int(missed.rule_id[last])]
        yield replace(found, source=source)


def _broken(seen: Seen, n: int) -> Told:
    day, how = day_of(seen.missed.limit_on[n]), how_kept(seen.site, seen.missed, n)
    return Told("find.limit_broken_at", {"limit": day, "how": how})


def _about(seen: Seen, n: int) -> About:
    return About.of(*subject_at(seen.site, int(seen.missed.row[n])))


def _by_law(seen: Seen) -> Flags:
    rules = seen.site.assessed.ground.rules_ever
    legal: Flags = np.isin(
        seen.missed.rule_id, rules.rule_id[rules.basis == Basis.LAW.code]
    )
    return legal


def _misses_years(missed: HeldLimits) -> Flags:
    misses: Flags = missed.is_broken & (missed.first_year > 0)
    return misses


def _is_past_now(seen: Seen, legal: Flags) -> Flags:
    """Return the limits still broken today that the due list tells as governing."""
    missed, found = seen.missed, seen.site.assessed
    rule = np.zeros(len(found.subjects), np.int64)
    rule[found.items.row] = found.items.rule_id
    is_open = np.isnat(missed.next_on) & (missed.until_on == found.ground.on)
    told: Flags = is_open & ((rule[missed.row] == missed.rule_id) | ~legal)
    return told


def _by_rule(seen: Seen, rows: Ids) -> Iterator[list[int]]:
    """Yield the rows of each subject and rule, oldest first.

    Of several editions that a time between two tests broke, the last is told.
    """
    missed, together = seen.missed, dict[tuple[int, str], dict[object, int]]()
    order = np.lexsort((missed.until_on[rows], missed.from_on[rows], missed.row[rows]))
    for n in rows[order].tolist():
        name = seen.site.rule(int(missed.rule_id[n])).name
        own = together.setdefault((int(missed.row[n]), name), {})
        own[missed.from_on[n].item()] = n
    yield from ([*own.values()] for own in together.values())
