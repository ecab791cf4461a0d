"""Runs one command again and again and stops it each time at another step.

A step is what the interpreter tells its audit hooks of files, folders and databases,
and each statement and commit of a transaction. As a program of its own, because it
forks: ``python -m tests.stopping COMMAND MOMENTS HOW SITE WORK`` prints what it found
as JSON. HOW is ``kill`` or ``full`` (no space left on the disk).
"""

import errno
import io
import json
import os
import shutil
import signal
import sys
from collections.abc import Callable
from contextlib import redirect_stdout, suppress
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

import sqlalchemy as sa

from jointmap.cli import main
from jointmap.cli.options import read_clock
from jointmap.workflows.opening import open_site
from jointmap.workflows.soundness.verify import verify_site

WHO = ("--by", "T1", "--reason", "a reason")
# Whatever is changed meanwhile is known by the end of this day.
TODAY = read_clock().astimezone(ZoneInfo("Atlantic/Azores")).date()
DAYS = ("--on", "2026-05-15", "--known", TODAY.isoformat())
CHANGING = {"os.rename", "os.remove", "os.rmdir", "os.mkdir", "os.link", "os.symlink"}
CHANGING |= {"os.chmod", "os.truncate", "sqlite3.connect", "shutil.rmtree"}
ROOM = {"open", "os.mkdir", "os.rename", "os.link"}  # what a full disk refuses
MORE = {"publish": (), "month": ("2026-06",), "handover": ()}
Tree = dict[str, bytes]


class Steps:
    """Counts the steps of a run, and ends it at one of them."""

    def __init__(self) -> None:
        self.seen, self.stop_at, self.how = -1, -1, ""
        sys.addaudithook(self.hear)
        for event in ("before_cursor_execute", "commit"):
            sa.event.listen(sa.engine.Engine, event, lambda *_: self.step(""))

    def begin(self, stop_at: int, how: str) -> None:
        self.seen, self.stop_at, self.how = 0, stop_at, how

    def hear(self, event: str, args: tuple[object, ...]) -> None:
        if self.seen < 0:
            return
        writes = event == "open" and isinstance(args[2], int) and args[2] & os.O_ACCMODE
        if writes or event in CHANGING:
            self.step(event)

    def step(self, event: str) -> None:
        if self.how == "full" and event not in ROOM:
            return
        self.seen += 1
        if self.how == "kill" and self.seen == self.stop_at:
            os.kill(os.getpid(), signal.SIGKILL)
        # A disk that is full stays full.
        if self.how == "full" and self.seen >= self.stop_at > 0:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


STEPS = Steps()


def ended(words: list[str], stop_at: int, how: str) -> tuple[int, int, str]:
    """Run a command in a fork; return its code or -signal, its steps, what it said."""
    read, write = os.pipe()
    child = os.fork()
    if not child:
        os.dup2(write, 1)
        os.dup2(write, 2)
        STEPS.begin(stop_at, how)
        try:
            main(words, standalone_mode=False)
            code = 0
        except SystemExit as stop:
            code = int(stop.code or 0)
        seen = STEPS.seen
        STEPS.seen = -1
        sys.stdout.write(f"\n{seen}")
        sys.stdout.flush()
        os._exit(code)
    os.close(write)
    with os.fdopen(read) as file:
        said, _, seen = file.read().strip().rpartition("\n")
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    return code, int(seen) if code >= 0 else 0, said


def tree(folder: Path) -> Tree:
    """Every file below a folder and its bytes; empty where there is no folder."""
    files = (p for p in sorted(folder.rglob("*")) if p.is_file())
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in files}


def sound(site: Path) -> list[str]:
    """What is wrong with a site: its chain, and files that no record speaks of."""
    opened = open_site(site)
    said = [] if (report := verify_site(site)).is_sound else list(report.lines)
    with opened.register.looking() as connection:
        table = sa.text("SELECT DISTINCT sha256 FROM record_attachment")
        spoken = {row.sha256 for row in connection.execute(table)}
    opened.register.close()
    kept = {p.name for p in (site / "attachments").rglob("*") if p.is_file()}
    said += [f"orphan {name}" for name in sorted(kept - spoken)]
    return said


class Case(NamedTuple):
    """How a command is run, and what may be there after it was stopped."""

    words: list[str]
    begin: Callable[[], None]  # puts everything back as it was before
    state: Callable[[], object]  # what must be old or new
    places: list[Path]  # where nothing else may lie afterwards
    again: set[int]  # how the next run may end


class Bench(NamedTuple):
    """A small site and a folder to work in, both nobody else's."""

    site: Path
    work: Path

    @property
    def out(self) -> Path:
        return self.work / "out"

    def case(self, command: str) -> Case:
        """Return how a command is run, and what is to be looked at."""
        x = self.out / "x"
        if command in MORE:
            return self.published(command, *MORE[command])
        if command == "attach":
            return self.attached()
        if command == "restore":
            run("backup", self.site, "--out", self.work / "b.zip")
        words = {
            "new": ["new", x, "--code", "NTH"],
            "restore": ["restore", self.work / "b.zip", x],
            "backup": ["backup", self.site, "--out", x],
        }
        looks = x.read_bytes if command == "backup" else lambda: sound(x)
        state = lambda: x.exists() and looks()  # noqa: E731
        return Case(text(words[command]), self.fresh(), state, [self.out], {0, 2})

    def published(self, command: str, *more: str) -> Case:
        """A folder published before two changes of the register, and again after."""
        first, changed = self.work / "first", self.work / "changed"
        run(command, self.site, *more, *DAYS, "--out", first)
        shutil.copytree(self.site, changed)
        run("change", "correct", changed, "joint", "J-1", "--set", "remark=seen", *WHO)
        run("change", "rename", changed, "J-2", "K-2", "--day", "2026-05-01", *WHO)
        words = text([command, changed, *more, *DAYS, "--out", self.out / "x"])
        state = lambda: tree(self.out / "x")  # noqa: E731
        return Case(words, self.fresh(first), state, [self.out], {0})

    def attached(self) -> Case:
        site, note = self.out / "x", self.work / "note.txt"
        note.write_text("seen from the bridge")
        words = text(["change", "attach", site, note, "--to", "joint", "J-1", *WHO])
        state = lambda: (sound(site), bool(tree(site / "attachments")))  # noqa: E731
        return Case(words, self.fresh(self.site), state, [self.out, site], {0, 2})

    def fresh(self, start: Path | None = None) -> Callable[[], None]:
        def begin() -> None:
            shutil.rmtree(self.out, ignore_errors=True)
            self.out.mkdir()
            if start:
                shutil.copytree(start, self.out / "x")

        return begin


def text(words: list[object]) -> list[str]:
    return [str(word) for word in words]


def run(*words: object) -> None:
    """Run a command that must not be refused."""
    code, _, said = ended(text(list(words)), -1, "")
    assert code in {0, 1}, said


def warm(words: list[str]) -> None:
    with suppress(SystemExit), redirect_stdout(io.StringIO()):
        main(words, standalone_mode=False)


def moments_of(steps: int, count: int) -> list[int]:
    """Half of the moments over all steps, half over the last third: the exchange."""
    late = count // 2
    early = [1 + n * steps // (count - late) for n in range(count - late)]
    first = steps - steps // 3
    ends = [first + (n + 1) * (steps - first) // late for n in range(late)]
    return sorted({*early, *ends})


def names(places: list[Path]) -> list[list[str]]:
    return [sorted(p.name for p in place.iterdir()) for place in places]


def tried(case: Case, moments: int, how: str) -> dict[str, object]:
    """Stop a command at moments spread over all its steps; return what was wrong."""
    case.begin()
    warm(case.words)  # so that a fork need not load the libraries
    case.begin()
    old = case.state()
    code, steps, said = ended(case.words, -1, how)
    assert code in {0, 1}, said
    new, clean = case.state(), names(case.places)
    faults, stopped, olds = [], 0, 0
    chosen = moments_of(steps, min(moments, steps))
    for at in chosen:
        case.begin()
        code, _, said = ended(case.words, at, how)
        stopped += code not in {0, 1}
        state = case.state()
        olds += state == old
        if how == "full" and code not in {0, 1, 3}:
            faults.append(f"{at}: ended with {code}: {said}")
        after_fault = case_of(old, new, state, attach="attach" in case.words[:2])
        if not after_fault:
            faults.append(f"{at}: neither old nor new: {state!r:.300}")
        code, _, said = ended(case.words, -1, how)
        code = 0 if code == 1 else code
        if code not in case.again or case.state() != new or names(case.places) != clean:
            faults.append(f"{at}: next run {code} {said!r} {names(case.places)}")
    return {
        "steps": steps,
        "tried": len(chosen),
        "stopped": stopped,
        "old": olds,
        "faults": faults,
    }


def case_of(old: object, new: object, state: object, *, attach: bool) -> bool:
    """Whether a state is old or new.

    A file that a stopped ``attach`` put into the store may lie there until the next.
    """
    if state in (old, new):
        return True
    return attach and isinstance(state, tuple) and len(state[0]) == 1


if __name__ == "__main__":
    command, moments, how, site, work = sys.argv[1:]
    case = Bench(Path(site), Path(work)).case(command)
    sys.stdout.write(json.dumps(tried(case, int(moments), how)))
