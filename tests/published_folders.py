"""Folders of made-up pages, published and looked at."""

from jointmap.files import publishing
from jointmap.files.manifest import SiteMark
from jointmap.files.names import MANIFEST

OLD_PAGES = {"index.html": "one", "deep/a.html": "a", "deep/gone.html": "renamed"}
NEW_PAGES = {"index.html": "two", "deep/a.html": "a", "more/b.html": b"\xff"}
OURS = SiteMark("S1", "1-aa")


def put(out, pages, kind="pages", *, site=OURS, force=False, state="1-x"):
    with publishing(out, kind, site, force=force) as folder:
        folder.put(pages.items(), state)
    return [problem.id for problem in folder.told]


def tree(folder):
    """Every file below a folder but its list, with its bytes."""
    files = (p for p in folder.rglob("*") if p.is_file() and p.name != MANIFEST)
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in files}


def as_bytes(pages):
    return {n: t if isinstance(t, bytes) else t.encode() for n, t in pages.items()}


def alone(out):
    assert [p.name for p in out.parent.iterdir()] == [out.name]
