"""A day to come: asked about with ``--on``, never as what is known or since when."""

import datetime as dt

import pytest

from jointmap.errors import WrongUse
from jointmap.sites.site_folder import check_not_to_come, day_asked
from jointmap.workflows.opening import open_site
from tests.command_line import COMMANDS, jointmap

# What each reading command needs besides the site, to get as far as its days.
MORE = {
    "boundary": (), "dossier": ("J-1",), "why": ("J-1",), "map": ("--out", "OUT.html"),
    "export": ("--out", "OUT.csv"), "month": ("2026-06", "--out", "OUT"),
    "publish": ("--out", "OUT"), "handover": ("--out", "OUT"),
    "worksheet": ("J-1", "--out", "OUT"), "rules try": ("--target", "B=0.01"),
    "model predicted": ("--out", "OUT.html"),
}  # fmt: skip
KNOWN = [
    name
    for name, command in COMMANDS.items()
    if "known" in {p.name for p in command.params}
]
LATER = "2099-01-01"


@pytest.mark.parametrize("name", KNOWN)
def test_what_will_be_known_is_refused_everywhere(loaded, tmp_path, name):
    more = (w.replace("OUT", str(tmp_path / "x")) for w in MORE.get(name, ()))
    ran = jointmap(*name.split(), loaded, *more, "--known", LATER)
    assert ran.code == 2, ran
    assert f"{LATER} lies after today, 20" in ran.err
    assert "accepted for --known: 20" in ran.err
    assert ran.out == ""
    assert not any(tmp_path.iterdir())


def test_since_a_day_to_come_is_refused(loaded):
    ran = jointmap("findings", loaded, "--since", LATER)
    assert ran.code == 2, ran
    assert "accepted for --since: 20" in ran.err
    assert "or an earlier day. A day to come is asked about with --on" in ran.err


def test_a_day_to_come_may_be_asked_about(loaded):
    assert jointmap("due", loaded, "--on", LATER).code == 0


@pytest.mark.parametrize(
    ("known", "is_refused"),
    [("2026-05-15", False), ("2026-05-16", True), ("2026-05-01", False)],
)
def test_today_of_a_training_site_is_its_day(demo, known, is_refused):
    site, now = open_site(demo / "site"), dt.datetime(2030, 1, 1, 12, tzinfo=dt.UTC)
    day = dt.date.fromisoformat(known)
    try:
        if is_refused:
            with pytest.raises(WrongUse):
                check_not_to_come(site, now, "--known", day)
        else:
            assert day_asked(site, now, None, day) == day
    finally:
        site.register.close()
