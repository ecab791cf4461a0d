"""Whatever ends with 1 says why and what is next, apart from its answer too."""

import pytest

from tests.command_line import COMMANDS, jointmap

WHO = ("--by", "K1", "--reason", "a trial")
BAD_ROW = "tag,boundary,area,state\nX-1,no such boundary,East,in duty\n"
# By command: words after the site, why it ends with 1, and what is next.
ASKED = [
    ("findings", (), " findings. next: 'jointmap why "),
    ("findings", ("IJ-018",), "1 finding. next: "),
    ("findings", ("--format", "csv"), " findings. next: "),
    ("findings", ("--only", "design"), " findings. next: "),
    ("findings", ("--only", "late"), " came in late. next: "),
    ("findings", ("--only", "late", "--format", "csv"), " came in late. next: "),
    ("findings", ("--since", "2026-04-30"), " new since 2026-04-30. next: 'jointmap "),
    ("waiting", (), " wait for a decision. next: 'jointmap waiting "),
    ("handover", ("--out", "OUT"), " open points that nobody accepted; first: IJ-"),
    ("handover", ("--out", "OUT"), " next: record what is missing"),
    ("month", ("2026-07", "--out", "OUT"), "not after 2026-07. next: do what helps"),
    ("load", ("SENT", *WHO, "--dry-run"), "next: mend the rows that were refused"),
]  # fmt: skip
OTHER_CODES = {"verify", "backup"}  # they end with 4


def test_every_command_that_can_end_with_1_is_asked():
    ends = {"exit", "end_with_open"}
    found = {n for n, c in COMMANDS.items() if ends & {*c.callback.__code__.co_names}}
    assert found - OTHER_CODES == {name for name, *_ in ASKED}


@pytest.mark.parametrize(("name", "words", "said"), ASKED)
def test_it_says_why_and_what_is_next(demo, tmp_path, name, words, said):
    sent = tmp_path / "joints.csv"
    sent.write_text(BAD_ROW, encoding="utf-8")
    places = {"OUT": tmp_path / "out", "SENT": sent}
    ran = jointmap(name, demo / "site", *(places.get(w, w) for w in words))
    assert ran.code == 1, ran
    assert said in ran.said


@pytest.mark.parametrize(("name", "words"), [("findings", ("--format", "csv"))])
def test_the_answer_itself_stays_as_it_is(demo, name, words):
    ran = jointmap(name, demo / "site", *words)
    assert "next: " not in ran.out
    assert ran.err.count("\n") == 1
