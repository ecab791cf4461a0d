"""What seconds are worth just now: a fixed piece of work, measured in the same run.

CPU seconds grow when other work shares caches and cores, so a limit in seconds is a
ratio to this work, as slow as it is now, times what it takes on an idle machine.
"""

import os
import subprocess
import sys

# CPU seconds of the work below on the machine on which the limits were set, reckoned:
# where it takes 1.02, `due` of a million joints takes 104 s; the same code took 80 s.
IDLE_SECONDS = 0.8
WORK = """
import json, re, sqlite3
from datetime import date, timedelta
import numpy as np
first = date(2000, 1, 1)
rows = [{"id": n, "name": f"J-{n:05}", "on": str(first + timedelta(days=n % 9000)),
         "ohm": n * 1.25} for n in range(60_000)]
back = [json.loads(json.dumps(row, sort_keys=True)) for row in rows]
found = sorted(back, key=lambda row: (row["on"], row["name"]))
lines = [re.sub(r"[0-9]+", "#", row["name"]) for row in found]
db = sqlite3.connect(":memory:")
db.execute("create table t (id integer primary key, name text, day text, ohm real)")
db.executemany("insert into t values (:id, :name, :on, :ohm)", rows)
db.execute("select name, max(day) from t group by day order by 2").fetchall()
values = np.random.default_rng(1).normal(size=400_000)
for _ in range(6):
    np.sort(values)
    np.unique(values.astype(np.float32))
    np.cumsum(values)
"""


def baseline() -> float:
    """Return the CPU seconds that the fixed work takes now, a process of its own."""
    with subprocess.Popen([sys.executable, "-c", WORK]) as run:
        _, status, usage = os.wait4(run.pid, 0)
        run.returncode = os.waitstatus_to_exitcode(status)
    assert run.returncode == 0
    return usage.ru_utime + usage.ru_stime


def idle(seconds: float) -> float:
    """Return what took so many CPU seconds just now, as on an idle machine."""
    slow = max(1.0, baseline() / IDLE_SECONDS)
    sys.stdout.write(f"[{slow:.2f} x slower than idle]\n")
    return seconds / slow
