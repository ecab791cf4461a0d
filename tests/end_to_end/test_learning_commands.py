"""A model from the sample site's own record: learned, asked, adopted, compared."""

import json
import re
import shutil
from pathlib import Path

import pytest

from tests.command_line import jointmap
from tests.small_site import write

BY = ("E1", "A1")
WHO = ("--by", "E1", "--reason", "yearly review")
TWO = ("--second", "A1")


@pytest.fixture(scope="module")
def sample(pages, tmp_path_factory):
    """The sample site, this module's own; tests that write take a copy."""
    place = tmp_path_factory.mktemp("learning") / "site"
    return Path(shutil.copytree(pages.parent / "site", place))


@pytest.fixture(scope="module")
def adopted(sample, tmp_path_factory):
    """The sample site with the default prior in force, and what was due before."""
    place = tmp_path_factory.mktemp("adopted") / "site"
    site = Path(shutil.copytree(sample, place))
    row = "catalogue,name,from_on\nmodels,default-prior,2026-05-01\n"
    sheets = write(place.parent / "sheets", {"adopted.csv": row}, BY)
    ran = jointmap("load", site, sheets, *WHO, "--rules")
    assert ran.code == 0, ran.said
    return site


@pytest.fixture(scope="module")
def learned(sample, tmp_path_factory):
    """The sample site with its own model in force."""
    place = tmp_path_factory.mktemp("learned") / "site"
    site = Path(shutil.copytree(sample, place))
    ran = jointmap("model", "learn", site, "--adopt", *WHO, *TWO)
    assert ran.code == 0, ran.said
    assert "is in force from 2026-05-15" in ran.out
    return site


def due(site, *more):
    ran = jointmap("due", site, "--format", "json", *more)
    assert ran.code == 0, ran.said
    return json.loads(ran.out)


def test_learning_alone_changes_no_date_and_is_the_same_again(sample, learned):
    before = due(sample)
    ran = jointmap("model", "learn", sample)
    assert ran.code == 0, ran.said
    assert "effective failures" in ran.out
    assert "the plant's mean governs" in ran.out
    (model,) = (sample / "models").iterdir()
    assert model.name.startswith("learned-2026-05-15-entry-")
    assert json.loads(model.read_text(encoding="utf-8"))["form"] == 1
    assert due(sample) == before
    (other,) = (learned / "models").glob("learned-*")
    assert other.read_bytes() == model.read_bytes()


def test_adopting_needs_a_name_and_a_reason(sample):
    ran = jointmap("model", "learn", sample, "--adopt")
    assert ran.code == 2
    assert "--by and --reason" in ran.err


def test_an_adopted_model_sets_dates_and_is_named(sample, learned):
    site = learned
    before = {row["subject"]: row for row in due(sample)}
    after = due(site)
    by_risk = [r for r in after if r["basis"] == "risk"]
    assert by_risk
    assert all("failure model learned-2026-05-15" in r["source"] for r in by_risk)
    assert all("(not given)" not in r["because"] for r in after)
    for row in after:
        was = before[row["subject"]]["last_allowed_on"]
        assert not was or row["last_allowed_on"] <= was
    assert due(site, "--on", "2026-05-14") == due(sample, "--on", "2026-05-14")
    tag = by_risk[0]["subject"]
    why = jointmap("why", site, tag)
    assert "failure model learned" in re.sub(r"\s+", " ", why.out)


def test_the_default_prior_is_said_to_be_no_data(adopted, sample):
    rows = {r["subject"]: r for r in due(adopted)}
    said = {r["source"] for r in rows.values() if r["basis"] == "risk"}
    assert said == {"failure model default-prior of 2026-05-01: no data of your own"}
    for row in due(sample):
        was, now = row["last_allowed_on"], rows[row["subject"]]["last_allowed_on"]
        assert not was or now <= was
    ended = "catalogue,name,from_on\nmodels,no-model,2026-05-10\n"
    sheets = write(adopted.parent / "ended", {"adopted.csv": ended}, BY)
    assert jointmap("load", adopted, sheets, *WHO, "--rules").code == 0
    assert not [r for r in due(adopted) if r["basis"] == "risk"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--target", "B=0.05"), "Tests a year"),
        (("--cap", "B=6"), "earlier"),
        (("--months", "owner-protection-normal=18"), "later"),
        (("--without", "owner-protection-normal"), "later"),
        (("--method", "potential-shift=hum"), "Joints shorted unseen"),
        (
            ("--without", "iso-15589-1-surge-device"),
            "SD-92: 2019-09-10 -> no date (basis no basis)",
        ),
    ],
)
def test_what_if_says_work_risk_and_dates(sample, words, says):
    ran = jointmap("rules", "try", sample, *words)
    assert ran.code == 0, ran.said
    assert says in ran.out
    assert "default-prior: no data of your own" in ran.out
    assert ran.out.endswith("Nothing was saved.\n")


def test_what_if_of_a_longer_interval_means_fewer_tests_and_more_hidden(sample):
    ran = jointmap("rules", "try", sample, "--months", "owner-protection-normal=24")
    tests = re.search(r"Tests a year: ([\d.]+) now, ([\d.]+) then", ran.out)
    hidden = re.search(r"expected: ([\d.]+) now, ([\d.]+) then", ran.out)
    assert float(tests[2]) < float(tests[1])
    assert float(hidden[2]) >= float(hidden[1])


def test_what_if_says_how_many_of_the_moved_dates_it_lists(sample):
    words = ("rules", "try", sample, "--months", "owner-protection-normal=24")
    some, every = jointmap(*words).out, jointmap(*words, "--all").out
    earlier, later = map(int, re.search(r"(\d+) earlier, (\d+) later", some).groups())
    listed = [len(re.findall(" -> ", text)) for text in (some, every)]
    assert listed == [20, earlier + later]
    assert (
        f"20 of {earlier + later} moved dates are listed here; all with --all." in some
    )
    assert "--all" not in every


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "Nothing was asked"),
        (("--target", "E=0.05"), "known: A, B, C, D"),
        (("--target", "B"), "write NAME=NUMBER"),
        (("--target", "B=7"), "chances lie between"),
        (("--months", f"x={10**19}"), "is not in the range 0<=x<=600"),
        (("--cap", "B=-1"), "is not in the range 0<=x<=600"),
        (("--months", "none=3"), "No rule in force is named none"),
        (("--method", "dowsing=hum"), "No error table of method dowsing"),
    ],
)
def test_what_if_refuses_what_is_none(sample, words, says):
    ran = jointmap("rules", "try", sample, *words)
    assert ran.code in {2, 3}
    assert says in ran.err


def test_the_early_failing_batch_is_found_first(sample):
    """Story 1: raw p 0.0034, and what is left of it after 25 looks."""
    ran = jointmap("model", "early", sample)
    assert ran.code == 0, ran.said
    first = ran.out.splitlines()[0]
    assert first.startswith("Batch 19-07: 7 of 24 fell under their limit")
    assert "would give 1.9" in first
    assert "by chance: 0.0034;" in first
    assert "all 25 classes looked at: 0.084" in first
    assert first.endswith("not proof of a cause.")


def test_predicted_against_found(sample, adopted, tmp_path):
    for site, says in ((sample, "default prior"), (adopted, "no data of your own")):
        out = tmp_path / f"{site.parent.name}.html"
        ran = jointmap("model", "predicted", site, "--out", out)
        assert ran.code == 0, ran.said
        page = out.read_text(encoding="utf-8")
        assert says in page
        assert page.count("<polyline") == 2
        assert "(not given)" not in page
        assert "Batch 19-07" in page


def test_a_site_without_failures_has_a_page_and_a_model(site, tmp_path):
    out = tmp_path / "page.html"
    assert (
        jointmap("model", "predicted", site, "--out", out, "--on", "2026-05-15").code
        == 0
    )
    page = out.read_text(encoding="utf-8")
    assert "no law can be fitted" in page
    assert "<polyline" not in page
    ran = jointmap("model", "learn", site, "--on", "2026-05-15")
    assert ran.code == 0, ran.said
    assert "taken not to age" in ran.out


ERRORS = (
    "method,failed_isolating,failed_doubtful,failed_shorted,sound_isolating,"
    "sound_doubtful,sound_shorted,note,source,mark\n"
)
TARGETS = "consequence,end_chance,average_chance,cap_months,source,mark\n"


def test_the_owner_s_own_tables_are_stored_with_the_model(sample, tmp_path):
    sheets = write(
        tmp_path / "own",
        {
            "errors.csv": f"{ERRORS}potential-shift,.1,.1,.8,.9,.06,.04,n,counts,m\n",
            "targets.csv": f"{TARGETS}B,0.015,0.01,18,procedure 7,m\n",
        },
    )
    place = Path(shutil.copytree(sample, tmp_path / "site"))
    files = ("--errors", sheets / "errors.csv", "--targets", sheets / "targets.csv")
    ran = jointmap(
        "model", "learn", place, *files, "--repeat-days", "3", "--adopt", *WHO, *TWO
    )
    assert ran.code == 0, ran.said
    assert "at most 3 days apart, count once" in ran.out
    (path,) = (place / "models").glob("*.json")
    model = json.loads(path.read_text(encoding="utf-8"))
    (own,) = [e for e in model["errors"] if e["method"] == "potential-shift"]
    assert (own["failed"], own["source"]) == ([0.1, 0.1, 0.8], "counts")
    targets = {t["consequence"]: t for t in model["targets"]}
    assert targets["B"]["cap_months"] == 18
    assert targets["C"]["cap_months"] == 36
    # What was adopted stays when the next model is learned without the files.
    again = jointmap("model", "learn", place, "--on", "2026-05-16")
    assert again.code == 0, again.said
    newest = max((place / "models").glob("*.json"))
    kept = json.loads(newest.read_text(encoding="utf-8"))
    assert {t["consequence"]: t["cap_months"] for t in kept["targets"]}["B"] == 18
    assert kept["repeat_days"] == 3


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            f"{ERRORS}potential-shift,.9,.05,.05,.05,.05,.9,n,s,m\n",
            "own.csv, line 2: Error table of potential-shift: the odds of a failed "
            "joint must rise from isolating to doubtful to shorted",
        ),
        (f"{ERRORS}guess,.1,.1,.8,.9,.06,.04,n,s,m\n", "accepted: insulation-resist"),
        ("method,odds\n", "keys or columns are not those wanted"),
        (b"\x89PNG\r\n\x1a\n\x00", "own.csv"),
        (b"", "own.csv"),
    ],
)
def test_an_unsound_table_is_refused_and_nothing_is_learned(
    sample, tmp_path, text, says
):
    sheets = write(tmp_path / "own", {"own.csv": text})
    before = sorted(p.name for p in (sample / "models").glob("*"))
    ran = jointmap("model", "learn", sample, "--errors", sheets / "own.csv")
    assert ran.code == 3
    assert says in ran.said
    assert "Traceback" not in ran.said
    assert sorted(p.name for p in (sample / "models").glob("*")) == before


def test_a_class_that_no_joint_has_is_said_to_move_nothing(site):
    ran = jointmap("rules", "try", site, "--target", "D=0.2", "--on", "2026-05-15")
    assert ran.code == 0, ran.said
    assert "No joint has consequence D: nothing moves by that." in ran.out


def test_why_says_where_the_model_gives_no_date(adopted, site, tmp_path):
    row = "catalogue,name,from_on\nmodels,default-prior,2020-01-01\n"
    sheets = write(tmp_path / "model", {"adopted.csv": row})
    who = ("--by", "T1", "--reason", "try")
    assert jointmap("load", site, sheets, *who, "--rules").code == 0
    ran = jointmap("why", site, "J-1", "--on", "2026-05-15")
    said = "No date by risk: its consequence class is not on record."
    assert said in " ".join(ran.out.split())
    ran = jointmap("why", adopted, "IJ-030")
    assert "No date by risk" not in ran.out
