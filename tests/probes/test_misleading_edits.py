"""Edits that make a bad joint look good: held, told, or of no use to who made them."""

from collections import Counter

from tests.probes.misleading import (
    EACH,
    KINDS,
    MAKERS,
    SIZES,
    all_draws,
    listed,
)


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
