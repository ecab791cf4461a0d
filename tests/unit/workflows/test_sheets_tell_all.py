"""A month's pages tell what is to be interrupted, and what was put off."""

import datetime as dt
import html
import re

import pytest

from jointmap.pages.due.page import due_page
from jointmap.pages.month.page import month_pages, month_view, totals_shown
from jointmap.pages.month.planned import plan_month
from jointmap.wording import say
from tests.opened_site import ON, opened, shown, text_of

CREW = {
    "crews.csv": "name,persons,depot,day_from,day_until,working_days,areas\n"
    "East,2,Yard,07:30,16:00,Mon-Fri,\n",
    "positions.csv": "subject,name,latitude,longitude\ncrew,East,31.41,-41.9\n",
}
HEAD = "name,kind,is_protected,correction_reason\n"
BOTH_UNDER_CURRENT = HEAD + "Plant,plant piping,yes,anodes found\n"
SOURCES = "name,structure,kind,can_be_interrupted,usual_current,also_feeds,remark\n"
READ = "scope,source,tested_on,method,stage,outcome,test_current\n"
READ += "source,R1,2026-01-20,source-output,routine,measured,5 A\n"
R1 = "R1,S1,rectifier,yes,4 A,,KP 8\n"
ANODES = "G1,Plant,galvanic anodes,no,,,\n"
LACKS = "the test cannot be made by this method"
DEFERRED = (
    "number,decided_on,kind,person,second_person,subject,subject_key,why,authority,"
    "until_on\nD-9,2026-01-25,deferred,T1,A1,joint,J-1,gate frozen,head,{until}\n"
)


def month_of(folder, *more, most=None):
    site = opened(folder, CREW, *more)
    with shown(site) as showing:
        planned = plan_month(showing, dt.date(2026, 6, 1), "2026-06", most)
        pages = {n: words(text) for n, text in month_pages(planned)}
        due = due_page(showing)
        view = month_view(planned)
        terminal = text_of(totals_shown(planned))
    site.register.close()
    sheet = " ".join(text for name, text in pages.items() if name != "index.html")
    assert sheet
    return pages["index.html"], sheet, terminal, due, view


def words(page):
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


@pytest.mark.parametrize(
    ("sheets", "says", "interrupts"),
    [
        (
            {"sources.csv": SOURCES},
            "No current source of S1, Plant is on record",
            False,
        ),
        (
            {"sources.csv": SOURCES + R1 + ANODES, "tests.csv": READ},
            "R1: rectifier, feeds S1; KP 8; output 5 A read 2026-01-20",
            True,
        ),
        (
            {"sources.csv": SOURCES + R1.replace("KP 8", "")},
            "R1: rectifier, feeds S1; place not on record; usual output 4 A",
            True,
        ),
        (
            {"sources.csv": SOURCES + R1.replace("4 A", "")},
            "R1: rectifier, feeds S1; KP 8; output not on record",
            True,
        ),
        (
            {"sources.csv": SOURCES + ANODES},
            "None of the sources of S1, Plant can be interrupted (G1)",
            False,
        ),
        (
            {"sources.csv": SOURCES + R1.replace("4 A,,", "4 A,Plant,")},
            "The same sources feed S1, Plant (R1)",
            False,
        ),
    ],
    ids=["none", "read", "nowhere", "no output", "anodes", "both"],
)
def test_a_sheet_for_a_shift_names_its_sources_or_says_why_none(
    tmp_path, sheets, says, interrupts
):
    protected = {"structures.csv": BOTH_UNDER_CURRENT}
    index, sheet, terminal, _, view = month_of(tmp_path, protected, sheets)
    assert "Potential shift" in sheet
    assert says in sheet
    assert say("caution.interrupting") in sheet
    told = [sheet, *([] if interrupts else [index, terminal])]
    assert [LACKS in text.replace(LACKS.capitalize(), LACKS) for text in told] == [
        not interrupts
    ] * len(told)
    assert bool(view.interruptions) is interrupts
    if interrupts:
        assert says.removeprefix("R1: ") in index


def test_another_method_asks_for_no_source(tmp_path):
    bare = HEAD + "S1,pipeline section,no,no current here\n"
    index, sheet, *_ = month_of(tmp_path, {"structures.csv": bare}, most=9)
    assert say("caution.interrupting") not in sheet
    assert LACKS not in index + sheet


@pytest.mark.parametrize("until", ["2026-02-20", "2026-06-20"])
def test_what_was_put_off_is_told_alike_on_every_sheet(tmp_path, until):
    decided = {"decisions.csv": DEFERRED.format(until=until)}
    index, sheet, terminal, due, _ = month_of(tmp_path, decided)
    (remark,) = {line.remark for line in due.lines if line.remark}
    in_force = dt.date.fromisoformat(until) >= ON
    for part in (f"until {until} by T1", "authority head", "gate frozen"):
        assert part in remark
    assert ("a later test is late, whatever was decided" in remark) is in_force
    for text in (index, sheet, terminal):
        assert remark in " ".join(text.split())
