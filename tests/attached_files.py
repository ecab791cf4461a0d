"""A small site to which files are attached, and what is asked of it."""

import datetime as dt
import shutil

from jointmap.changes.attach import attach
from jointmap.changes.change import Change
from jointmap.pages.shelf import Shelf
from jointmap.register import Attachment
from jointmap.storage.verifying.checking import check_register
from jointmap.wording.problems import line_of
from jointmap.workflows.soundness.verify import verify_site
from tests.opened_site import opened, shown

NOW = dt.datetime(2026, 4, 1, 12, tzinfo=dt.UTC)
LAST = [0]


def change():
    LAST[0] += 1
    now = NOW + dt.timedelta(minutes=LAST[0])
    return Change(now.date(), now, "T1", "a reason")


def sound_site(tmp_path):
    """Give a small site; it is sound afterwards, and nothing is on its way in."""
    made = opened(tmp_path)
    yield made
    assert check_register(made.register, made.path).problems == ()
    made.register.close()
    assert list(made.path.glob("coming/*")) == []


def attached(site, folder, name, data, key="J-1", view=""):
    (folder / name).write_bytes(data)
    return attach(site, folder / name, ("joint", key), view, change())


def records(site, kind=Attachment):
    with site.register.read() as state:
        return list(state.records(kind).values())


def files(site):
    below = site.path / "attachments"
    return [p for p in below.rglob("*") if p.is_file()] if below.exists() else []


def told(refused):
    return "\n".join(map(line_of, refused.value.problems))


def shelf_of(site, key="J-1"):
    with shown(site) as showing:
        shelf = Shelf(showing, site)
        id_ = next(i for i, j in showing.joints.items() if j.tag == key)
        return shelf.of_joint(id_), dict(shelf.pages())


def verified(site):
    """What ``verify`` says; the deliveries of the small site lie in its folder."""
    for sent in site.path.glob("sent-*"):
        shutil.rmtree(sent)
    return verify_site(site.path)
