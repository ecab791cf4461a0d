"""How a limit that ran was kept: ids of sentences and values."""

import numpy as np

from jointmap.assessment.limits.deferrals import Named
from jointmap.assessment.site_on_day import SiteOnDay, day_of
from jointmap.intervals import REASONS, HeldLimits
from jointmap.register.told import Told

_EACH_YEAR = ("due.year_gap", "due.year_end")


def subject_at(site: SiteOnDay, row: int) -> Named:
    """Return the code and the id of the subject in a row."""
    subjects = site.assessed.subjects
    return int(subjects.subject[row]), int(subjects.subject_id[row])


def how_kept(site: SiteOnDay, held: HeldLimits, n: int) -> Told:
    """Return whether a limit was kept, what ended it, and who put the test off."""
    facts = {
        "next": day_of(held.next_on[n]),
        "until": day_of(held.until_on[n]),
        "days": abs(int(held.days_over[n])),
        "years": _years_missed(held, n),
        "put_off": put_off(site, held, n),
    }
    return Told(f"held.{_word(site, held, n)}", facts)


def _years_missed(held: HeldLimits, n: int) -> Told | str:
    """Return the calendar years without a test, where the rule asks for one in each."""
    counts_years = REASONS[int(held.reason[n])] in _EACH_YEAR
    if not (counts_years and held.is_broken[n] and held.first_year[n]):
        return ""
    return Told("held.years", {"years": years_missed(held, n)})


def years_missed(held: HeldLimits, n: int) -> str:
    """Return the first and the last calendar year without a test."""
    first, last = int(held.first_year[n]), int(held.last_year[n])
    return str(first) if first == last else f"{first} to {last}"


def _word(site: SiteOnDay, held: HeldLimits, n: int) -> str:
    tested = held.until_on[n] == held.next_on[n]
    if held.is_broken[n]:
        return "late" if tested else "late_still"
    if tested:
        return "kept"
    return "open" if held.until_on[n] == site.assessed.ground.on else "ended"


def put_off(site: SiteOnDay, held: HeldLimits, n: int) -> Told | str:
    """Return by whom a test was put off while a limit ran; blank where by nobody."""
    first, last = held.from_on[n], held.until_on[n]
    own = [
        decision
        for decision in site.put_off.get(subject_at(site, int(held.row[n])), ())
        if first <= np.datetime64(decision.decided_on, "D") <= last
    ]
    if not own:
        return ""
    facts = {
        "until": own[-1].until_on,
        "who": site.person(own[-1].person_id),
        "authority": own[-1].authority,
    }
    return Told("held.put_off", facts)
