"""A cut-down sample site: a few joints of the sample, with all that belongs to them."""

import csv
import datetime as dt
import io
from pathlib import Path

from jointmap.changes.load import load
from jointmap.sites.site_folder import SiteFolder
from jointmap.workflows.demo import SAMPLE_CODE, SAMPLE_KEY, deliveries
from jointmap.workflows.opening import new_site

SAMPLE = Path(__file__).resolve().parents[2] / "sample_site"
TAGS = {"IJ-001", "IJ-002", "IJ-027", "IJ-028", "IJ-049", "IJ-083"}
AFTER = dt.datetime(2026, 5, 14, 12, tzinfo=dt.UTC)
ON = dt.date(2026, 5, 15)


def rows_of(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode(), newline="")))


def text_of(rows: list[list[str]]) -> bytes:
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue().encode()


def _boundaries() -> set[str]:
    found = set()
    for path in SAMPLE.glob("*/joints*.csv"):
        head, *rows = rows_of(path.read_bytes())
        tag, boundary = head.index("tag"), head.index("boundary")
        found |= {r[boundary] for r in rows if r[tag] in TAGS}
    return found


def _belongs(sheet: str, row: dict[str, str], boundaries: set[str]) -> bool:
    if sheet == "boundaries":
        return row["name"] in boundaries
    tag = row.get("tag", "") or row.get("joint", "")
    if row.get("subject") == "joint":
        tag = row.get("name", "") or row.get("subject_key", "")
    boundary = row.get("boundary", "")
    return (not tag or tag in TAGS) and (not boundary or boundary in boundaries)


def cut(name: str, data: bytes, boundaries: set[str]) -> bytes:
    """Return a file with the rows that the kept joints need."""
    if not name.endswith(".csv") or name.startswith("attachments"):
        return data
    head, *rows = rows_of(data)
    sheet = Path(name).stem
    kept = [
        r for r in rows if _belongs(sheet, dict(zip(head, r, strict=True)), boundaries)
    ]
    return text_of([head, *kept])


def cut_site(folder: Path) -> tuple[SiteFolder, dict[str, bytes]]:
    """Make the cut-down site; return it and the files it was made from, by name."""
    boundaries = _boundaries()
    site = new_site(folder / "site", SAMPLE_CODE, SAMPLE_KEY, ON)
    files = {}
    for delivery in deliveries(SAMPLE):
        sent = folder / "sent" / delivery.folder.name
        sent.mkdir(parents=True)
        for path in sorted(delivery.folder.iterdir()):
            if path.suffix in (".csv", ".geojson") or path.name == "this_site.toml":
                data = cut(path.name, path.read_bytes(), boundaries)
                files[f"{sent.name}/{path.name}"] = data
                (sent / path.name).write_bytes(data)
        who = {"by": delivery.by, "reason": delivery.reason}
        load(site, [sent], now=delivery.now, **who, rules=True)
    return site, files
