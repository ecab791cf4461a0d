"""A process that loads and corrects for as long as it lives; run by the kill test.

``python -m tests.storage.writer ADDRESS NAME COUNT`` adds a structure and corrects it,
COUNT times over, and says "kept N" once the register has said so. COUNT 0: for ever.
"""

import datetime as dt
import itertools
import sys
from dataclasses import replace

from jointmap.storage import Register
from tests.storage.samples import structure, unasked

ROWS = 40  # in one transaction, so that a kill can fall between them
NOON = dt.datetime(2026, 1, 1, 12, tzinfo=dt.UTC)


def write(address: str, name: str, count: int) -> None:
    register = Register.open(address, "X")
    for number in itertools.count() if not count else range(count):
        now = NOON + dt.timedelta(seconds=number)
        with unasked(register, now, name, f"{name} {number}") as job:
            for row in range(ROWS):
                job.add(structure(f"{name}-{number}-{row}"))
        with unasked(register, now, name, f"{name} {number} corrected") as job:
            known = job.known("structure")
            for row in range(ROWS):
                id_ = known.by_key[f"{name}-{number}-{row}",]
                job.revise(id_, replace(known.by_id[id_][1], remark="corrected"))
        print(f"kept {number}", flush=True)  # noqa: T201


if __name__ == "__main__":
    write(sys.argv[1], sys.argv[2], int(sys.argv[3]))
