"""A site of two joints, small enough to be loaded anew for one question."""

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
    "people.csv": "code,role\nT1,technician\n",
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
    "tests.csv": """\
scope,joint,tested_on,method,stage,outcome,a_on,a_off,b_on,b_off
joint,J-1,2025-03-01,potential-shift,routine,measured,-1.20 V,-0.90 V,-0.55 V,-0.55 V
""",
}
WHO = ("--by", "T1", "--reason", "a reason")


class Kept(NamedTuple):
    """What must not change when a delivery is refused."""

    bytes: bytes
    fingerprint: str


def write(folder: Path, sheets: dict[str, str | bytes]) -> Path:
    """Write files by name; text as UTF-8."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in sheets.items():
        data = text if isinstance(text, bytes) else text.encode()
        (folder / name).write_bytes(data)
    return folder


def made(folder: Path) -> Path:
    """Make and load the small site below ``folder``; return the site's folder."""
    site = folder / "site"
    assert jointmap("new", site, "--code", "SML").code == 0
    loaded = jointmap("load", site, write(folder / "sheets", SHEETS), *WHO)
    assert loaded.code == 0, loaded
    return site


def load(site: Path, sheets: dict[str, str | bytes], *more: str) -> Ran:
    """Load files given by name and text, which are written beside the site."""
    folder = write(site.parent / "sent", sheets)
    return jointmap("load", site, *(folder / name for name in sheets), *WHO, *more)


def kept(site: Path) -> Kept:
    """Return the register's bytes and its fingerprint."""
    from jointmap.workflows.site_folder import open_site

    opened = open_site(site)
    with opened.register.read() as state:
        fingerprint = state.last.fingerprint
    opened.register.close()
    return Kept((site / "register.sqlite").read_bytes(), fingerprint)
