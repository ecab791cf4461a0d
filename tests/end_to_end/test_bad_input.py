"""Bad input through the real command line: what is refused and said, what stays."""

import shutil
import tomllib
from pathlib import Path

import pytest

from tests.command_line import jointmap
from tests.small_site import DECISIONS, SHEETS, WHO, kept, load

HERE = Path(__file__).parent
FILE_FAULTS = tomllib.loads((HERE / "file_faults.toml").read_text(encoding="utf-8"))
ROW_FAULTS = tomllib.loads((HERE / "row_faults.toml").read_text(encoding="utf-8"))
GOOD = ROW_FAULTS.pop("good")
# A line for chainages to be of; with it one row more of each load is new.
LINE = {
    "lines.geojson": '{"features": [{"properties": {"name": "L"}, "geometry": {"type":'
    ' "LineString", "coordinates": [[-41.8, 31.4], [-42.0, 31.4]]}}]}'
}
# The good row and the line; of joints also those whose position only is in doubt.
NEW = {
    **dict.fromkeys(GOOD, 2),
    "joints": 10,
    "adopted": 3,
    "limits": 3,
}  # and its decision


def counts_of(ran):
    """Return the line of a load that counts its rows."""
    (line,) = [x for x in ran.out.splitlines() if " known already, " in x]
    return line


@pytest.mark.parametrize("name", FILE_FAULTS)
def test_fault_of_a_file_refuses_everything(site, name):
    fault = FILE_FAULTS[name]
    data = bytes.fromhex(fault.get("hex", ""))
    data = data or fault["text"].encode(fault.get("encoding", "utf-8"))
    before = kept(site)
    ran = load(
        site, {"people.csv": "code,role\nT2,field technician\n", fault["file"]: data}
    )
    assert ran.code == 3
    assert [w for w in fault["says"] if w not in ran.err] == []
    assert ran.out == ""
    assert kept(site) == before


def rows_of(sheet):
    return {n: f["row"] for n, f in ROW_FAULTS.items() if f["sheet"] == sheet}


@pytest.fixture(scope="module")
def answers(loaded, tmp_path_factory):
    """What loading all bad rows of each sheet, and a good one after them, says."""
    found = {}
    for sheet, (heading, good) in GOOD.items():
        site = Path(shutil.copytree(loaded, tmp_path_factory.mktemp(sheet) / "site"))
        text = "\n".join([heading, *rows_of(sheet).values(), good]) + "\n"
        found[sheet] = load(site, {**LINE, f"{sheet}.csv": text})
    return found


@pytest.mark.parametrize("name", ROW_FAULTS)
def test_fault_of_a_row_is_told_with_its_place(answers, name):
    fault = ROW_FAULTS[name]
    line = list(rows_of(fault["sheet"])).index(name) + 2
    wanted = [w.replace("LINE", str(line)) for w in fault["says"]]
    told = answers[fault["sheet"]].out.splitlines()
    assert [t for t in told if all(w in t for w in wanted)], told


@pytest.mark.parametrize("sheet", GOOD)
def test_the_other_rows_are_taken(answers, sheet):
    ran, bad = answers[sheet], rows_of(sheet)
    told = [x for x in ran.out.splitlines() if x.startswith(("refused", "waiting"))]
    assert ran.code == 1
    assert len(told) == len(bad)
    assert counts_of(ran).startswith(f"{NEW[sheet]} new, ")


def test_file_that_is_not_there(site):
    before = kept(site)
    ran = jointmap("load", site, site / "joints.csv", *WHO)
    assert (ran.code, kept(site)) == (3, before)
    assert "joints.csv: there is no such file" in ran.err


def test_faults_of_several_files_are_told_together(site):
    ran = load(site, {"joints.csv": "", "tests.csv": "a\n", "people.csv": b"\xff\xff"})
    told = {line.split(",")[0].split(":")[0] for line in ran.err.splitlines()}
    assert told == {"joints.csv", "tests.csv", "people.csv"}


def test_same_tag_on_the_same_line_of_two_files(site):
    row = "tag,boundary,area,state\nJ-7,B-1,{},in duty\n"
    ran = load(
        site, {"joints_a.csv": row.format("East"), "joints_b.csv": row.format("West")}
    )
    assert ran.code == 1
    assert "joints_b.csv, line 2, column tag, value 'J-7'" in ran.out
    assert "first in joints_a.csv:2" in ran.out
    assert "1 new, 0 corrected, 0 known already" in ran.out


def test_the_same_files_again_change_nothing(site):
    before = kept(site)
    ran = load(site, dict(SHEETS))
    assert ran.code == 0
    count = int(ran.out.split(" known already")[0].split()[-1])
    rows = sum(len(t.splitlines()) - 1 for n, t in SHEETS.items() if ".csv" in n)
    # Each joint's row gives the joint and its position; the site and the decision of
    # the rules are rows too.
    assert count == rows + 2 + 1 + 1
    assert ran.out.startswith("0 new, 0 corrected")
    assert kept(site) == before


def test_dry_run_says_all_and_keeps_nothing(site):
    before = kept(site)
    rows = "tag,boundary,area,state\nJ-3,B-1,East,in duty\nJ-4,B-9,East,in duty\n"
    ran = load(site, {"joints.csv": rows}, "--dry-run")
    assert ran.code == 1
    assert counts_of(ran).startswith("1 new")
    assert "B-9" in ran.out
    assert kept(site) == before


CHANGED = "tag,boundary,area,state{more}\nJ-1,B-1,West,in duty{reason}\n"


def test_differing_row_waits_and_says_what_differs(site):
    ran = load(site, {"joints.csv": CHANGED.format(more="", reason="")})
    assert ran.code == 1
    waiting = [x for x in ran.out.splitlines() if x.startswith("waiting")]
    # in_duty_on has no column in this file: nothing is said about it.
    assert len(waiting) == 1
    assert "joints.csv, line 2, column area, value 'West'" in waiting[0]
    assert "differs from the record (East)" in waiting[0]
    assert "correction_reason" in waiting[0]
    listed = jointmap("waiting", site)
    assert listed.code == 1
    assert "J-1, area: West" in listed.out


def test_differing_row_with_a_reason_corrects(site):
    sent = CHANGED.format(more=",correction_reason", reason=",moved the fence")
    ran = load(site, {"joints.csv": sent})
    counts = counts_of(ran).split(", ")[:2]
    assert (ran.code, counts) == (0, ["0 new", "1 corrected"])
    assert ran.out.startswith("corrected: 1 joint\n")
    out = site.parent / "j.html"
    assert jointmap("dossier", site, "J-1", "--out", out).code == 0
    page = out.read_text(encoding="utf-8")
    assert "moved the fence" in page
    assert jointmap("due", site, "--on", "2025-05-01", "--format", "csv").out.count(
        ",West,"
    )


def test_a_column_left_out_keeps_what_is_known(site):
    sent = "joint,fitted_on,kind,batch,correction_reason\n"
    sent += "J-1,2020-01-05,flange kit,20-01,seen on sleeve\n"
    assert load(site, {"devices.csv": sent}).code == 0
    beyond = GOOD["tests"][0] + "\n"
    beyond += "stud,J-1,2025-04-01,stud-resistance,routine,measured,1 Mohm,9,A\n"
    assert "stud 9 of 8" in load(site, {"tests.csv": beyond}).out


JOINED = "name,structure_a,structure_b,purpose,joined_by,joined_from_on,joined_until_on"
PERMITTED = DECISIONS + "".join(
    f"D-{name},2020-01-01,joined on purpose,T1,A1,boundary,{name},one section\n"
    for name in ("B-2", "B-3")
)


def test_a_boundary_between_structures_that_are_one_waits_with_its_sentence(site):
    sheets = {
        "structures.csv": "name,kind,is_protected\nS2,pipeline section,yes\n",
        "boundaries.csv": f"{JOINED}\n"
        "B-2,S2,Plant,protection,D-1,2020-01-01,\n"
        "B-3,S1,S2,sectioning,D-1,2020-01-01,\n"
        "B-4,S1,Plant,protection,,,\n",
        "decisions.csv": PERMITTED,
    }
    ran = load(site, sheets)
    assert ran.code == 1
    told = [line for line in ran.out.splitlines() if line.startswith("waiting")]
    assert len(told) == 1
    assert "boundaries.csv, line 4" in told[0]
    assert "column structure_b, value 'Plant'" in told[0]
    assert "one metal already (B-2, B-3 joined on purpose)" in told[0]
    # The boundary stands all the same, and says so on its page.
    assert jointmap("boundary", site, "B-4").code == 0
    held = jointmap("waiting", site).out
    assert "B-4, structure_b" in held
    # Once the permission is over, nothing waits.
    over = (
        f"{JOINED},correction_reason\nB-3,S1,S2,sectioning,D-1,2020-01-01,2021-01-01,"
    )
    ended = PERMITTED.splitlines()[0] + "\nD-9" + PERMITTED.splitlines()[2][5:] + "\n"
    sheets = {"boundaries.csv": over + "ended\n", "decisions.csv": ended}
    assert load(site, sheets).code == 0
    again = load(site, {"boundaries.csv": f"{JOINED}\nB-5,S1,Plant,protection,,,\n"})
    assert again.code == 0


def test_a_stud_is_counted_on_the_device_of_that_day(site):
    put_right = "joint,fitted_on,kind,stud_count,correction_reason\n"
    put_right += "J-1,2020-01-05,flange kit,6,counted\n"
    beyond = "scope,joint,tested_on,method,stage,outcome,reading,stud,side\n"
    beyond += "stud,J-1,2025-04-01,stud-resistance,routine,measured,1 Mohm,7,A\n"
    ran = load(site, {"devices.csv": put_right, "tests.csv": beyond})
    assert "stud 7 of 6" in ran.out


TESTS = (
    "scope,joint,boundary,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
    "electrode,interrupted_side,sources_cycling,cycles,test_current,span_current,"
    "geometry,correction_reason\n"
)
SHIFT = "boundary,J-1,B-1,2025-04-03,potential-shift,routine,measured"
SPAN = "joint,J-1,,2025-04-05,span-current,routine,measured,,,,,,,,,10 A,0.26 A"


@pytest.mark.parametrize(
    ("row", "says", "put_right"),
    [
        (
            f"{SHIFT},-0.9 V,-1.2 V,-0.55 V,-0.55 V,Cu/CuSO4,A,R1,5,,,,",
            "column a_on, value '-0.9 V': side A grew 300 mV more positive",
            f"{SHIFT},-1.2 V,-0.9 V,-0.55 V,-0.55 V,Cu/CuSO4,A,R1,5,,,,crossed",
        ),
        (
            f"{SHIFT},-1.2 V,-0.9 V,-0.55 V,-0.55 V,Ag/AgCl,A,R1,5,,,,",
            "value 'Ag/AgCl': a silver chloride electrode without its solution",
            f"{SHIFT},-1.2 V,-0.9 V,-0.55 V,-0.55 V,Ag/AgCl sea water,A,R1,5,,,,asked",
        ),
        (
            f"{SPAN},,",
            "column geometry: no share of a test current without where the span lies",
            f"{SPAN},between,asked",
        ),
    ],
    ids=["sign", "solution", "geometry"],
)
def test_a_doubtful_test_waits_until_it_is_put_right(site, row, says, put_right):
    first = load(site, {"tests.csv": TESTS + row + "\n"})
    assert first.code == 1
    assert says in first.out
    assert "\nwaiting  tests.csv, line 2" in first.out
    heading, _ = jointmap("waiting", site).out.splitlines()
    assert heading.split()[:2] == ["Line", "Waits"]
    assert load(site, {"tests.csv": TESTS + put_right + "\n"}).code == 0
    assert len(jointmap("waiting", site).out.splitlines()) == 0


def test_a_span_that_lies_nowhere_known_is_refused(site):
    ran = load(site, {"tests.csv": TESTS + SPAN + ",sideways,\n"})
    assert "refused  tests.csv, line 2, column geometry, value 'sideways'" in ran.out
    assert "accepted: between, beyond" in ran.out
