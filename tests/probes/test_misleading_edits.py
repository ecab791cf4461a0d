"""Edits that make a bad joint look good: refused, held, told, or of no use."""

from collections import Counter
from random import Random

import pytest

from tests.probes.misleading import (
    EACH,
    KINDS,
    MAKERS,
    SIZES,
    Draw,
    all_draws,
    listed,
    some_draws,
)
from tests.probes.misleading_rows import POOLS
from tests.probes.misleading_site import NOT_GOOD, SILENT, Outcome, outcomes, told_as
from tests.probes.misleading_spring import as_of_spring

# The goal is 0.90 of those that something on record can show. What is reached is
# written down so that it gets no worse; it rises as the edits below are met.
REACHED = 0.90
# What slips through, by where somebody would have to look.
SLIPS: dict[str, str] = {}
BAD = ("shorted shift", "shorted difference", "low hanging")


def test_the_list_names_what_is_drawn_and_what_would_show_the_rest():
    every = listed()
    assert {r["edit"] for r in every} == {*MAKERS}
    for row in every:
        assert bool(row["what_would_show_it"]) == (row["cannot_be_shown"] == "yes")
    drawn = all_draws()
    cells = Counter((d.kind, d.size) for d in drawn)
    assert cells == {(k, s): EACH for k in KINDS for s in SIZES}
    assert sum(d.cannot_be_shown for d in drawn) * 4 <= len(drawn)
    assert drawn == all_draws()


@pytest.fixture(scope="module")
def found(demo, tmp_path_factory, count) -> list[Outcome]:
    folder = tmp_path_factory.mktemp("edits")
    drawn = some_draws(count(20, len(all_draws())))
    return [*outcomes(demo / "site", folder, drawn)]


def test_nothing_slips_through_but_what_is_known_to(found):
    silent = {o.draw.edit for o in _to_be_shown(found) if o.fate == SILENT}
    assert silent <= {*SLIPS}, told_as(found)


@pytest.mark.full
def test_the_share_that_is_held_or_told(found):
    print(told_as(found))  # noqa: T201
    shown = _to_be_shown(found)
    silent = [o.draw.edit for o in shown if not o.is_seen]
    assert len(silent) <= (1 - REACHED) * len(shown)
    assert {*silent} == {*SLIPS}, "what is met leaves SLIPS; REACHED rises"


def _to_be_shown(found: list[Outcome]) -> list[Outcome]:
    return [o for o in found if not o.draw.cannot_be_shown]


def test_a_bad_reading_as_it_was_looks_bad_and_a_good_one_tells_nothing(demo, tmp_path):
    chance = Random(1)  # noqa: S311 - nothing is kept secret by it
    bad = [as_of_spring(chance.choice(POOLS[of]()), chance) for of in BAD]
    good = as_of_spring(POOLS["good shift of a bad place"]()[-1], chance)
    drawn = [
        Draw(n, "none", "none", "as read", cannot_be_shown=False, sheets={"tests": v})
        for n, v in enumerate([*bad, good], start=1)
    ]
    fates = [o.fate for o in outcomes(demo / "site", tmp_path, drawn)]
    assert fates == [NOT_GOOD] * len(BAD) + [SILENT]
