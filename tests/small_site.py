"""A site of two joints, small enough to be loaded anew for one question."""

import zlib
from pathlib import Path
from typing import NamedTuple

from tests.command_line import Ran, jointmap

SHEETS = {
    "this_site.toml": """\
code = "SML"
name = "Small site"
time_zone = "Atlantic/Azores"
working_crs = "EPSG:32624"
min_latitude_deg = 31.0
max_latitude_deg = 32.0
min_longitude_deg = -42.5
max_longitude_deg = -41.0
""",
    "people.csv": "code,role\nT1,register keeper\nA1,auditor\n",
    "structures.csv": """\
name,kind,is_protected
S1,pipeline section,yes
Plant,plant piping,no
""",
    "boundaries.csv": "name,structure_a,structure_b,purpose\nB-1,S1,Plant,protection\n",
    "joints.csv": """\
tag,boundary,area,state,in_duty_on,latitude,longitude
J-1,B-1,East,in duty,2020-01-10,31.4,-41.9
J-2,B-1,East,in duty,2020-01-10,31.4001,-41.9001
""",
    "devices.csv": """\
joint,fitted_on,kind,layout,stud_count
J-1,2020-01-05,flange kit,two-side,8
J-2,2020-01-05,flange kit,two-side,8
""",
    "adopted.csv": """\
catalogue,name,from_on
rules,cfr-192.465a-joint,2020-01-01
limits,Shift guard 50 mV,2020-01-01
limits,Shift ratio isolating 0.10,2020-01-01
limits,Shift ratio shorted 0.50,2020-01-01
""",
    # What a test is about is seldom its papers.
    "decisions_papers.csv": """\
number,decided_on,kind,person,second_person,subject,subject_key,why
P-1,2010-01-01,papers not asked,T1,A1,person,none on record,small
P-2,2010-01-01,papers not asked,T1,A1,instrument,none on record,small
""",
    "tests.csv": """\
scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off
joint,J-1,2025-03-01,potential-shift,routine,measured,-1.20 V,-0.90 V,-0.55 V,-0.55 V
""",
}
# The decisions that it comes with: one on rules and limits, two on papers.
DECIDED_BEFORE = 3
LAW = ("adopted", "rules", "limits")
DECISIONS = "number,decided_on,kind,person,second_person,subject,subject_key,why\n"
WHO = ("--by", "T1", "--reason", "a reason")


class Kept(NamedTuple):
    """What must not change when a delivery is refused."""

    bytes: bytes
    fingerprint: str


def write(
    folder: Path, sheets: dict[str, str | bytes], by: tuple[str, str] = ("T1", "A1")
) -> Path:
    """Write files by name; text as UTF-8. Rules come with a decision of two persons."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in as_decided(sheets, by).items():
        data = text if isinstance(text, bytes) else text.encode()
        (folder / name).write_bytes(data)
    return folder


def as_decided(
    sheets: dict[str, str | bytes], by: tuple[str, str]
) -> dict[str, str | bytes]:
    """Add a decision to each sheet of rules and limits that names none."""
    found = dict(sheets)
    for name, text in sheets.items():
        if not isinstance(text, str) or not name.startswith(LAW) or "\n" not in text:
            continue
        head, *rows = text.splitlines()
        if "decision" in head.split(","):
            continue
        number = f"D-{zlib.crc32(text.encode())}"
        models = [r.split(",")[1] for r in rows if r.startswith("models,")]
        ready = [f"{r}," if r.startswith("models,") else f"{r},{number}" for r in rows]
        found[name] = "\n".join([f"{head},decision", *ready, ""])
        about = [("site", "SML")] if len(models) < len(rows) else []
        about += [("model", m) for m in models]
        found[f"decisions_{name}"] = DECISIONS + "".join(
            f"{number}{n or ''},2025-03-31,adopted,{by[0]},{by[1]},{what},{key},-\n"
            for n, (what, key) in enumerate(about)
        )
    return found


def made(folder: Path) -> Path:
    """Make and load the small site below ``folder``; return the site's folder."""
    site = folder / "site"
    assert jointmap("new", site, "--code", "SML").code == 0
    loaded = jointmap("load", site, write(folder / "sheets", SHEETS), *WHO, "--rules")
    assert loaded.code == 0, loaded
    return site


def load(
    site: Path, sheets: dict[str, str | bytes], *more: str, decided: bool = True
) -> Ran:
    """Load files given by name and text, which are written beside the site.

    Unless they are ``decided``, rules come without a decision.
    """
    folder = write(site.parent / "sent", sheets)
    ready = as_decided(sheets, ("T1", "A1")) if decided else sheets
    for name, text in sheets.items():
        if not decided and isinstance(text, str):
            (folder / name).write_text(text, encoding="utf-8")
    names = (folder / name for name in ready)
    return jointmap("load", site, *names, *WHO, "--rules", *more)


def kept(site: Path) -> Kept:
    """Return the register's bytes and its fingerprint."""
    from jointmap.workflows.opening import open_site

    opened = open_site(site)
    with opened.register.read() as state:
        fingerprint = state.last.fingerprint
    opened.register.close()
    return Kept((site / "register.sqlite").read_bytes(), fingerprint)
