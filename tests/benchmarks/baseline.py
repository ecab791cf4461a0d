"""How slow the machine is just now, beside the one on which the limits were set.

CPU seconds grow when other work shares the caches and the cores. What a benchmark asks
of seconds is therefore held against a fixed piece of work, measured in the same run.
"""

import os
import subprocess
import sys

# CPU seconds of the work below on the machine of the limits, with nothing beside it.
IDLE_SECONDS = 1.0
_WORK = """
import json, sqlite3, re
import numpy as np
from datetime import date, timedelta
first = date(2000, 1, 1)
rows = [{"id": n, "name": f"J-{n:05}", "on": str(first + timedelta(days=n % 9000)),
         "ohm": n * 1.25} for n in range(60_000)]
texts = [json.dumps(row, sort_keys=True) for row in rows]
back = [json.loads(text) for text in texts]
found = sorted(back, key=lambda row: (row["on"], row["name"]))
lines = [re.sub(r"[0-9]+", "#", row["name"]) for row in found]
db = sqlite3.connect(":memory:")
db.execute("create table t (id integer primary key, name text, on_ text, ohm real)")
db.executemany("insert into t values (:id, :name, :on, :ohm)", rows)
db.execute("select name, max(on_) from t group by on_ order by 2").fetchall()
values = np.random.default_rng(1).normal(size=400_000)
for _ in range(6):
    np.sort(values); np.unique(values.astype(np.float32)); np.cumsum(values)
"""


def _work_seconds() -> float:
    with subprocess.Popen([sys.executable, "-c", _WORK]) as run:
        _, status, usage = os.wait4(run.pid, 0)
        run.returncode = os.waitstatus_to_exitcode(status)
    assert run.returncode == 0
    return usage.ru_utime + usage.ru_stime


def slowness() -> float:
    """Return how many times slower than idle the machine works now; at least 1."""
    return max(1.0, _work_seconds() / IDLE_SECONDS)
