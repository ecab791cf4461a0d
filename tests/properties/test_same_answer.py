"""The same question has the same answer wherever it is told.

Verdict, due state, last allowed day, device fitted, certificate in date, whether a path
joins, and how many of each there are: read off pages, sheets, map, CSV and commands.
"""

import csv
import datetime as dt
import io
import re
from collections import Counter

import numpy as np
import pytest
from numpy.random import default_rng  # noqa: TID251 (a seed comes in)

from jointmap.pages.asked import assessed
from jointmap.pages.boundary.page import boundary_view
from jointmap.pages.dossier.index import dossier_index
from jointmap.pages.dossier.page import one_of
from jointmap.pages.dossier.why import told_tests, why_view
from jointmap.pages.due.page import due_csv, due_page, due_table
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.handover_view import handover_rows
from jointmap.pages.map_page import map_data
from jointmap.pages.overview import index_view
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.plain_text.shown import Table
from jointmap.register.codes import DueState, Verdict
from jointmap.register.paper_states import PaperState
from jointmap.reports.every_report import REPORTS
from jointmap.reports.terminal import due_blocks
from jointmap.workflows.opening import open_site
from tests.opened_site import opened

ON = dt.date(2026, 5, 15)
HALF = 0.5
PAST = DueState.PAST_LIMIT
BONDS = ("bond on purpose", "resistance bond", "drainage", "temporary bond")
HEADS = {
    "boundaries.csv": "name,structure_a,structure_b,purpose",
    "structures.csv": "name,kind,is_protected",
    "joints.csv": "tag,boundary,area,state,in_duty_on,latitude,longitude",
    "devices.csv": "joint,fitted_on,removed_on,kind,layout,stud_count,serial",
    "paths.csv": "name,boundary,kind,state,fitted_on,removed_on,checked_on",
    "instruments.csv": "name,kind,needs_certificate",
    "certificates.csv": "instrument,number,valid_from_on,valid_until_on",
}
TESTS = (
    "scope,joint,path,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off,"
    "interrupted_side,sources_cycling,indication,instrument"
)
FAR = {"isolating": "-0.55 V", "shorted": "-0.85 V", "doubtful": "-0.60 V"}


def day(chance, first=2020, last=2026):
    span = (dt.date(last, 1, 31) - dt.date(first, 2, 1)).days
    return dt.date(first, 2, 1) + dt.timedelta(days=int(chance.integers(span)))


def random_sheets(seed):
    """Joints in and out of duty, replaced; papers, paths and tests of all kinds."""
    chance = default_rng(seed)
    rows = {name: [] for name in HEADS}
    rows["structures.csv"] = ["S2,pipeline section,no", "Arm,plant piping,no"]
    rows["boundaries.csv"] = ["B-2,S1,S2,protection", "B-3,S2,Arm,ship/shore"]
    for number in (1, 2):
        add_papers(chance, rows, f"V-{number}")
    tests = []
    for number in range(3, 9):
        tests += add_joint(chance, rows, f"J-{number}")
    for number in range(1, 4):
        tests += add_path(chance, rows, f"P-{number}")
    sheets = {n: "\n".join([HEADS[n], *own, ""]) for n, own in rows.items() if own}
    return sheets | {"tests.csv": "\n".join([TESTS, *dict.fromkeys(tests), ""])}


def add_papers(chance, rows, name):
    rows["instruments.csv"].append(f"{name},voltmeter,yes")
    first = day(chance, 2024, 2026)
    for paper in range(int(chance.integers(3))):
        until = first + dt.timedelta(days=int(chance.integers(500)))
        rows["certificates.csv"].append(f"{name},K-{paper},{first},{until}")
        first += dt.timedelta(days=int(chance.integers(200)))


def add_joint(chance, rows, tag):
    state = chance.choice(["in duty", "in duty", "in duty", "planned"])
    since = "2020-01-10" if state == "in duty" else ""
    place = f"{31.4 + chance.integers(9) * 2e-4:.4f},-41.9"
    head = f"{tag},B-{chance.integers(1, 4)},East"
    rows["joints.csv"].append(f"{head},{state},{since},{place}")
    first = day(chance, 2020, 2024)
    gone = first + dt.timedelta(days=int(chance.integers(1, 900)))
    end = gone if chance.random() < HALF else ""
    kind = chance.choice(["flange kit", "union"])
    row = f"{tag},{{}},{{}},{kind},two-side,8,{tag}-{{}}"
    rows["devices.csv"].append(row.format(first, end, 1))
    if end and chance.random() < HALF:
        rows["devices.csv"].append(row.format(gone, "", 2))
    return [read(chance, tag, first) for _ in range(int(chance.integers(4)))]


def add_path(chance, rows, name):
    kind = chance.choice([*BONDS, "support"])
    state = chance.choice(["joining", "apart", "not known"])
    gone = day(chance, 2025, 2026) if chance.random() < HALF else ""
    head = f"{name},B-{chance.integers(1, 4)},{kind},{state}"
    rows["paths.csv"].append(f"{head},2020-01-01,{gone},2024-01-05")
    if gone:
        return []
    seen = chance.choice(["short", "no short"])
    made = f"{day(chance, 2025)},look,routine,measured"
    return [f"parallel path,,{name},{made},,,,,,,{seen},"]


def read(chance, tag, first):
    on = max(day(chance, 2022), first + dt.timedelta(days=1))
    meter = chance.choice(["", "V-1", "V-2"])
    if chance.random() < HALF:
        seen = chance.choice(["short", "no short"])
        return (
            f"joint,{tag},,{on},radio-frequency,routine,measured,,,,,,,{seen},{meter}"
        )
    far = FAR[str(chance.choice(list(FAR)))]
    volts = f"-1.20 V,-0.90 V,{far},-0.55 V,A,portable source on S1"
    return f"joint,{tag},,{on},potential-shift,routine,measured,{volts},,{meter}"


def answers(showing):
    """What is told of each joint, by where it is told: verdict, due state, day."""
    tests = ShownTests(showing)
    tags = {id_: joint.tag for id_, joint in showing.joints.items()}
    due = due_page(showing)
    told = {
        "csv": dict(of_csv(showing)),
        "map": dict(of_map(showing)),
        "list": dict(of_list(due)),
        "boundary": dict(of_boundaries(showing, tests)),
        "index of dossiers": dict(of_index(showing)),
    }
    for name in ("dossier", "why"):
        told[name] = {}
    for id_, tag in tags.items():
        view = one_of(showing, tests, id_, finders=())
        day = str(view.due.last_allowed_on or "")
        told["dossier"][tag] = view.verdict.word, view.due.state.word, day
        text = REPORTS["why-text"].make(why_view(showing, tests, id_))
        verdict = re.search(r"^Verdict: ([a-z ]+)\.", text, re.M)[1]
        last = re.search(r"^Last allowed day: ([-\d]*)", text, re.M)[1]
        told["why"][tag] = verdict, view.due.state.word, last
        basis, _ = told_tests(showing, id_)
        if basis:
            on = str(tests.records[basis].tested_on)
            assert on in text.partition("Last allowed day")[0], (tag, text)
    return told


def of_csv(showing):
    for row in csv.DictReader(io.StringIO(due_csv(due_table(showing)))):
        if row["kind"] == "joint":
            yield row["subject"], (row["verdict"], row["state"], row["last_allowed_on"])


def of_map(showing):
    joints = map_data(showing).joints
    rows = zip(joints.tag, joints.verdict, joints.due_state, joints.due_on, strict=True)
    for tag, verdict, state, on in rows:
        day = "" if np.isnat(on) else str(on)
        yield tag, (str(list(Verdict)[verdict]), str(list(DueState)[state]), day)


def of_list(due):
    """A joint that a line credits has no verdict there."""
    for line in due.lines:
        if line.is_joint:
            day = str(line.last_allowed_on or "")
            yield line.subject.text, (line.verdict.word, line.state.word, day)
        for one in line.credited:
            yield one.link.text, (None, one.state.word, str(one.last_allowed_on or ""))


def of_boundaries(showing, tests):
    for id_ in showing.boundaries:
        for row in boundary_view(showing, tests, id_, []).joints:
            day = str(row.last_allowed_on or "")
            yield row.tag.text, (row.verdict.word, row.due_state.word, day)


def of_index(showing):
    page = dossier_index(showing)
    for row in re.findall(r"<tr role=\"row\">(.*?)</tr>", page, re.S):
        words = re.sub(r"<svg.*?</svg>", "", row, flags=re.S)
        if tag := re.search(r"<a href=[^>]*>([^<]+)</a>", words):
            signs = re.findall(r"<b>([^<]+)</b>", words)
            yield tag[1], signs


def check_joints(showing):
    told = answers(showing)
    whole = told["map"]
    for name in ("dossier", "boundary", "why"):
        assert told[name] == whole, name
    not_due = {tag for tag, (_, state, _) in whole.items() if state == "not due"}
    assert told["csv"] == {t: a for t, a in whole.items() if t not in not_due}
    assert set(told["list"]) == set(whole) - not_due
    for tag, (verdict, state, last) in told["list"].items():
        assert (verdict or whole[tag][0], state, last) == whole[tag], tag
    for tag, signs in told["index of dossiers"].items():
        assert set(signs) <= set(whole[tag]), (tag, signs)


def check_counts(showing):
    due, page = due_page(showing), map_data(showing).joints
    table = list(csv.DictReader(io.StringIO(due_csv(due_table(showing)))))
    of_map = Counter(str(list(DueState)[n]) for n in page.due_state.tolist())
    for state in DueState:
        if state is not DueState.NOT_DUE:
            own = [r["kind"] for r in table if r["state"] == state]
            assert due.joints(state) == own.count("joint") == of_map[str(state)]
            assert due.others(state) == len(own) - own.count("joint")
    counts = next(block for block in due_blocks(due) if isinstance(block, Table))
    assert [row[0] for row in counts.rows]
    for state, lines, joints, others in counts.rows:
        told = int(lines), int(joints), int(others)
        assert told == (
            len(due.of_state(state)), due.joints(state), due.others(state)
        ), state  # fmt: skip
    findings = shown_findings(showing, ShownTests(showing)).all
    index = index_view(showing, due, findings, ())
    (late,) = [
        w for d in index.doors for w in d.ways if w.link.href.endswith("past-the-limit")
    ]
    assert (late.count, late.unit) == (len(due.of_state(PAST)), "lines")
    assert f"joints {due.joints(PAST)};" in late.sentence
    verdicts = {sign.word: count for sign, count in index.verdict_counts}
    of_map = Counter(str(list(Verdict)[n]) for n in page.verdict.tolist())
    assert {v: n for v, n in verdicts.items() if n} == dict(of_map)
    return findings


def check_fitted(showing):
    state, joints = showing.assessed.state, showing.assessed.ground.joints
    known = state.devices
    rows = zip(joints.joint_id.tolist(), joints.device_id.tolist(), strict=True)
    columns = {showing.joints[j].tag: known[d].serial for j, d in rows if d}
    handed = {r.joint.text: r.serial for r in handover_rows(state, ON, None)}
    assert handed == columns


def check_papers(showing):
    """A test's instrument is in date where any of its papers covers the day."""
    state, tests = showing.assessed.state, ShownTests(showing)
    papers = list(state.certificates.values())
    for id_, test in state.tests.items():
        own = [p for p in papers if p.instrument_id == test.instrument_id]
        on = test.tested_on
        valid = any(p.valid_from_on <= on <= p.valid_until_on for p in own)
        told = tests.row(id_).instrument_paper
        if own and told and not told.startswith(str(PaperState.OTHER_KIND)):
            assert (told == str(PaperState.VALID)) == valid, (told, test)


def check_paths(showing, findings):
    tests = ShownTests(showing)
    found = {f.sentence for f in findings if f.kind == "path_joining"}
    joined = dict(
        zip(
            showing.assessed.boundaries.boundary_id.tolist(),
            showing.joined.tolist(),
            strict=True,
        )
    )
    for id_ in showing.boundaries:
        for path in boundary_view(showing, tests, id_, []).paths:
            joins = path.state == "joining" and path.removed_on is None
            named = any(path.name in sentence for sentence in found)
            if path.kind in BONDS:
                assert not joins or joined[id_], path
            else:
                assert named == joins, path


def check(showing):
    check_joints(showing)
    findings = check_counts(showing)
    check_fitted(showing)
    check_papers(showing)
    check_paths(showing, findings)


def test_of_the_sample(demo):
    site = open_site(demo / "site")
    with assessed(site, ON, None) as (found, frame):
        check(Showing(found, frame))
    site.register.close()


@pytest.mark.parametrize("part", range(4))
def test_of_random_sites(part, count, tmp_path):
    states = Counter()
    each = count(20, 200) // 4
    for seed in range(part * each, (part + 1) * each):
        site = opened(tmp_path / str(seed), random_sheets(seed))
        with assessed(site, ON, None) as (found, frame):
            showing = Showing(found, frame)
            check(showing)
            states.update(map_data(showing).joints.due_state.tolist())
        site.register.close()
    assert len(states) > 2
