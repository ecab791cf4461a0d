"""Pages cost as much for each further joint as for the joints before."""

import datetime as dt
import gc
import sys
from collections import Counter

from jointmap.pages.asked import assessed
from jointmap.pages.shelf import Shelf
from jointmap.pages.showing import Showing
from jointmap.reports.rendering import _environment
from jointmap.sites.site_folder import SiteFolder
from jointmap.workflows.publish import every_page
from tests.large_register import large_register

DAY = dt.date(2026, 5, 15)
FIRST = 40  # joints; then twice and four times as many
# A page of a joint that looks at all other joints once makes this 4 at the least.
MOST_GROWTH = 2.2


def forget_what_was_made():
    """Let go of every kept answer, so that each size makes all of its own."""
    for kept in gc.get_objects():
        is_kept = type(kept) is type(_environment)
        if is_kept and kept.__module__.startswith(
            ("jointmap.reports", "jointmap.wording")
        ):
            kept.cache_clear()


def _calls(folder, copies):
    """Return how often functions of the program ran for every page, by their place."""
    register = large_register(folder / f"{copies}.sqlite", FIRST, 3, copies)
    site = SiteFolder(folder, register)
    found = Counter()
    forget_what_was_made()

    def count(frame, event, _):
        if event == "call" and "/jointmap/" in frame.f_code.co_filename:
            found[frame.f_code.co_filename, frame.f_code.co_name] += 1

    with assessed(site, DAY, None) as (judged, frame):
        showing = Showing(judged, frame)
        pages = every_page(showing, Shelf(showing, site), [])
        sys.setprofile(count)
        try:
            for _page in pages:
                pass
        finally:
            sys.setprofile(None)
    register.close()
    return found


def test_twice_the_joints_are_twice_the_calls(tmp_path):
    first, second, fourth = (_calls(tmp_path, n) for n in (1, 2, 4))
    grown = fourth.total() - second.total()
    assert grown <= MOST_GROWTH * (second.total() - first.total())
    for place, count in fourth.items():
        before = second[place] - first[place]
        # What runs a few times more or less by the make of a site tells nothing.
        if count > 20 * FIRST:
            assert count - second[place] <= MOST_GROWTH * max(before, 1), place
