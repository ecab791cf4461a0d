"""Work in a process of its own: whatever ends it is a sentence with the file's name."""

import ctypes
import datetime as dt
import os
import pickle
import signal
import sys
import time
from functools import partial
from pathlib import Path

import pytest

from jointmap.attached import apart
from jointmap.attached.apart import Bounds, answers
from jointmap.errors import Problem, Refused
from jointmap.exchange import Draft, Ref
from jointmap.pictures import Kind
from jointmap.register.codes import Scope

MIB = 2**20
FILES = Path("/proc/self/fd")
SHORT = Bounds(seconds=1, wall_seconds=1.5, memory=64 * MIB, answer=MIB)
# For what ends by itself: on a busy machine a process takes a while to start.
PATIENT = SHORT._replace(wall_seconds=20)
pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="no processes forked")


def spin():
    while True:
        pass


def killed():
    os.kill(os.getpid(), signal.SIGKILL)


def deep(n=0):
    return deep(n + 1)


def refuse():
    raise Refused(Problem("cell.day", file="b.csv"))


def raise_(error):
    raise error


class Evil:
    def __reduce__(self):
        return os.system, ("echo evil >&2",)


ENDS = {
    "null pointer": (partial(ctypes.string_at, 0), "reading.crash", "SIGSEGV"),
    "abort": (os.abort, "reading.crash", "SIGABRT"),
    "killed": (killed, "reading.crash", "SIGKILL"),
    "leaves": (lambda: os._exit(3), "reading.crash", "exit 3"),
    "system exit": (sys.exit, "reading.crash", "exit 0"),
    "waits": (partial(time.sleep, 30), "reading.seconds", "1.5"),
    "never done": (spin, "reading.seconds", "1"),
    "memory": (lambda: bytearray(700 * MIB), "reading.memory", "67,108,864"),
    "recursion": (deep, "reading.fault", "RecursionError"),
    "fault": (partial(raise_, KeyError("x")), "reading.fault", "KeyError: 'x'"),
    "too much said": (lambda: b"x" * 2 * MIB, "reading.answer", "268,435,456"),
    "code": (Evil, "reading.fault", "system"),
    "refused": (refuse, "cell.day", ""),
}  # fmt: skip


# What ends at any moment leaves half a file of what was measured.
@pytest.mark.unmeasured
@pytest.mark.parametrize("name", ENDS)
def test_end_of_the_process_is_one_sentence(name, capfd):
    work, id_, told = ENDS[name]
    before = time.monotonic()
    try:
        bounds = SHORT if id_ == "reading.seconds" else PATIENT
        sound, wrong = answers([("a.csv", int), ("b.csv", work)], bounds)
        assert sound == 0
    except Refused as refused:
        wrong = refused
    (problem,) = wrong.problems
    assert (problem.id, problem.file) == (id_, "b.csv")
    assert told in " ".join(map(str, problem.values.values()))
    assert time.monotonic() - before < 30
    assert capfd.readouterr().err == ""
    with pytest.raises(ChildProcessError):  # nobody is left behind
        os.waitpid(-1, os.WNOHANG)


DRAFT = Draft(
    "test", "tests", "t.csv", 2,
    {"scope": Scope.JOINT, "joint_id": Ref("joint", "J"), "on": dt.date(2026, 1, 1),
     "at": dt.datetime(2026, 1, 1, tzinfo=dt.UTC), "x": 1.5, "none": None},
    held=(Problem("cell.day", {"a": 1}),), unsaid=frozenset({"a"}),
)  # fmt: skip


@pytest.mark.parametrize("word", [7, b"x" * MIB, None, Kind("text/plain", ("a",))])
def test_a_value_comes_back(word):
    assert answers([("a", lambda: word)]) == [word]


def test_nothing_of_it_stays():
    held = len(list(FILES.iterdir()))
    for _ in range(5):
        answers([("a", int)])
    assert len(list(FILES.iterdir())) == held


def test_what_a_library_writes_is_not_shown(capfd):
    answers([("a", partial(os.write, 2, b"libtiff: odd tag"))])
    assert capfd.readouterr().err == ""


def test_answers_come_back_as_they_were():
    assert answers([("a", lambda: DRAFT), ("b", lambda: "x")]) == [DRAFT, "x"]


def test_without_processes_the_same_answers(monkeypatch):
    monkeypatch.delattr(os, "fork")
    found = answers([("a", lambda: DRAFT), ("b", partial(raise_, ValueError("x")))])
    assert found[0] == DRAFT
    assert found[1].problems[0].id == "reading.fault"


@pytest.mark.parametrize(
    "function", [os.system, eval, apart.answers, time.sleep, pickle.loads]
)
def test_an_answer_names_no_function(function):
    data = pickle.dumps(function)
    with pytest.raises(pickle.UnpicklingError):
        apart._pickled_back(data)


def test_fault_is_shown_to_whoever_asks(monkeypatch, capfd):
    monkeypatch.setenv(apart.TRACE_VARIABLE, "1")
    answers([("a", partial(raise_, ValueError("seen")))])
    assert "ValueError: seen" in capfd.readouterr().err
