"""Every reading command as known on a day says what it said on that day.

The sample site is loaded once up to a day and once to its end; the first as it is, and
the second as known on that day, must give the same bytes, rules and limits included.
"""

import datetime as dt
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from jointmap.changes.load import load
from jointmap.cli.main import main
from jointmap.workflows.demo import (
    SAMPLE_CODE,
    SAMPLE_DAY,
    SAMPLE_KEY,
    deliveries,
    sample_folder,
)
from jointmap.workflows.opening import new_site
from tests.command_line import COMMANDS, with_site

pytestmark = pytest.mark.unmeasured

DAY = dt.date(2025, 9, 5)
ON = ("--on", "2025-06-30")
# What writes to a register, and what reads none; `verify` goes through all there is.
NO_DAY = {
    "backup", "calculate", "change alter", "change attach", "change correct",
    "change defer", "change join", "change rename", "change replace", "change retire",
    "change seen", "demo", "load", "new", "restore", "upgrade", "verify",
}  # fmt: skip
ASKED = [
    ("boundary", *ON, "--halve", "TN"),
    ("boundary", *ON, "--if-shorts", "IJ-018"),
    ("boundary", "KP-B03", *ON),
    ("boundary", "KP-B03", *ON, "--out", "OUT/statement.html"),
    ("findings", *ON),
    ("dossier", "IJ-012", *ON),
    ("due", *ON, "--format", "json"),
    ("model", "early", *ON),
    ("export", *ON, "--out", "OUT/joints.geojson"),
    ("handover", *ON, "--out", "OUT"),
    ("waiting", *ON),
    ("findings", "--only", "late"),
    ("findings", *ON, "--since", "2025-01-31"),
    ("rules", "list", *ON),
    ("model", "learn", *ON),
    ("map", *ON, "--out", "OUT/map.html"),
    ("month", "2025-07", *ON, "--out", "OUT"),
    ("model", "predicted", *ON, "--out", "OUT/predicted.html"),
    ("publish", *ON, "--out", "OUT"),
    ("rules", "try", *ON, "--target", "B=0.01"),
    ("why", "IJ-018", *ON),
    ("worksheet", "IJ-050", *ON, "--out", "OUT"),
]


@pytest.fixture(scope="module")
def until(tmp_path_factory):
    """The sample site as it stood at the end of a day."""
    path = tmp_path_factory.mktemp("until") / "site"
    site = new_site(path, SAMPLE_CODE, SAMPLE_KEY, SAMPLE_DAY)
    for one in deliveries(sample_folder()):
        if one.now.date() <= DAY:
            told = {"now": one.now, "by": one.by, "reason": one.reason}
            load(site, [one.folder], **told, rules=True)
    site.register.close()
    return path


@pytest.fixture(scope="module")
def whole(demo, tmp_path_factory):
    """The whole sample site, this module's own: `learn` writes its model beside it."""
    place = tmp_path_factory.mktemp("whole") / "site"
    return Path(shutil.copytree(demo / "site", place))


def test_every_reading_command_takes_a_day():
    takes = {
        name
        for name, command in COMMANDS.items()
        if "known" in {p.name for p in command.params}
    }
    assert takes == set(COMMANDS) - NO_DAY
    assert takes == {_name(words) for words in ASKED}


def _name(words):
    two = " ".join(words[:2])
    return two if two in COMMANDS else words[0]


@pytest.mark.parametrize("words", ASKED, ids=lambda w: " ".join(w[:2]))
def test_as_known_is_as_it_was(until, whole, tmp_path, words):
    said = []
    for name, site, known in (
        ("then", until, ()),
        ("now", whole, ("--known", str(DAY))),
    ):
        out = tmp_path / name
        out.mkdir()
        told = [word.replace("OUT", str(out)) for word in words]
        ran = CliRunner().invoke(main, [*map(str, with_site(told, site)), *known])
        files = {p.relative_to(out): p.read_bytes() for p in out.rglob("*.*")}
        text = ran.output.replace(str(out), "OUT").replace(str(site), "SITE")
        said.append((ran.exit_code, text, files))
    assert said[0][0] in {0, 1}, said[0][1]
    assert said[0] == said[1]


@pytest.mark.parametrize("words", [("due",), ("findings",), ("why", "IJ-018")])
def test_the_day_asked_about_follows_the_day_known(whole, words):
    known = ("--known", "2024-12-31")
    says = [
        CliRunner().invoke(main, [words[0], str(whole), *words[1:], *more])
        for more in (known, (*known, "--on", "2024-12-31"), (*known, *ON))
    ]
    assert says[0].output == says[1].output
    assert says[0].output != says[2].output


def test_known_today_asks_about_today(whole):
    says = [
        CliRunner().invoke(main, ["due", str(whole), *more])
        for more in (("--known", str(SAMPLE_DAY)), ("--on", str(SAMPLE_DAY)))
    ]
    # But for the day of what is known, which heads them.
    told = [said.output.partition("\n")[2] for said in says]
    assert told[0] == told[1]
