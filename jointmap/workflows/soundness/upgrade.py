"""Bring the tables of an older register up to those of this program."""

from pathlib import Path

from jointmap.sites.site_folder import read_settings
from jointmap.storage.database import check_file, file_of, open_engine
from jointmap.storage.opening import upgrade_tables
from jointmap.wording import say


def upgrade_site(path: Path) -> str:
    """Run what is missing; return what was done.

    Raises ``WrongUse`` for a newer register, ``BrokenRegister`` for none of ours.
    """
    address = read_settings(path)[1]
    file = file_of(address)
    if file is not None:
        check_file(file)
    engine = open_engine(address)
    before, after = upgrade_tables(engine)
    name = "upgrade.none" if before == after else "upgrade.done"
    return say(name, {"before": before, "after": after})
