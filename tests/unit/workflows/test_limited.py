"""A function in a child process: its value, its refusal, and what ends it."""

import datetime as dt
import os
import signal
import time
from pathlib import Path

import pytest

from jointmap.errors import Problem, Refused
from jointmap.pictures import Kind
from jointmap.workflows.limited import run_limited


def limited(function, *args, seconds=5, mebibytes=200):
    return run_limited(function, *args, seconds=seconds, mebibytes=mebibytes)


def gives(value):
    return value


def refuses():
    raise Refused(Problem("picture.no_svg", {"root": "html"}, file="x"))


def faults():
    raise ZeroDivisionError


def grows():
    return len(bytearray(2**30))


def hangs():
    while True:
        pass


def crashes():
    os.kill(os.getpid(), signal.SIGSEGV)


def names_a_function():
    class Made:
        def __reduce__(self):
            return os.getcwd, ()

    return Made()


class Other:
    """No record of the package."""


def gives_another():
    return Other()


def waits(path):
    path.open("rb")


VALUES = [
    7, "text", b"bytes" * 100_000, None, (1, 2.5), dt.date(2026, 5, 1),
    dt.datetime(2026, 5, 1, tzinfo=dt.UTC), Kind("text/plain", ("a",)),
]  # fmt: skip


@pytest.mark.parametrize("value", VALUES, ids=str)
def test_a_value_comes_back(value):
    assert limited(gives, value) == value


def test_a_refusal_comes_back_as_it_was():
    with pytest.raises(Refused) as refused:
        limited(refuses)
    assert refused.value.problems == (
        Problem("picture.no_svg", {"root": "html"}, file="x"),
    )


ENDS = {
    faults: ("fault", {}),
    grows: ("memory", {}),
    crashes: ("fault", {}),
    hangs: ("time", {"seconds": 1}),
    names_a_function: ("fault", {}),
    gives_another: ("fault", {}),
}


@pytest.mark.parametrize("function", ENDS, ids=lambda f: f.__name__)
def test_what_goes_wrong_is_one_refusal(function):
    id_, limits = ENDS[function]
    with pytest.raises(Refused) as refused:
        limited(function, **limits)
    assert [p.id for p in refused.value.problems] == [f"limited.{id_}"]


def test_a_child_that_waits_for_ever_is_ended(tmp_path, monkeypatch):
    monkeypatch.setattr("jointmap.workflows.limited._WAIT_FACTOR", 0.5)
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(Refused, match=r"limited\.time"):
        limited(waits, tmp_path / "pipe", seconds=1)


def test_nothing_of_it_stays():
    before = time.process_time()
    open_ = len(list(Path("/proc/self/fd").iterdir()))
    for _ in range(5):
        limited(gives, 1)
    assert len(list(Path("/proc/self/fd").iterdir())) == open_
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)
    assert time.process_time() - before < 5


def test_without_fork_the_function_runs_here(monkeypatch):
    monkeypatch.delattr(os, "fork")
    assert limited(gives, 7) == 7
