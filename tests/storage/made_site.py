"""A site folder with an attached file, and a backup of it."""

from jointmap.changes.attach import attach
from jointmap.changes.change import Change
from jointmap.workflows.opening import new_site
from jointmap.workflows.soundness.backup import backup
from tests.pictures_made import JPEG
from tests.storage.samples import DAY, KEY, NOON, fill, first_delivery

PHOTO = JPEG


def made_site(folder):
    """Make the site and its backup in a folder, and return it."""
    site = new_site(folder / "site", "X", KEY, NOON.date())
    fill(site.register, *first_delivery())
    (folder / "photo.jpg").write_bytes(PHOTO)
    change = Change(on=NOON.date(), now=NOON + DAY, by="P1", reason="why")
    attach(site, folder / "photo.jpg", ("joint", "IJ-1"), "front", change)
    backup(site, folder / "b.zip")
    site.register.close()
    return folder
