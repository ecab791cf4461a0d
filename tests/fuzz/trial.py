"""What must hold of any delivery, whatever is in it; a trial has its own process.

Nothing but a refusal with its sentence; no more than 10 s and 1 GiB; the register's
bytes unchanged when refused; sound after it took anything; every reader running then.
"""

import hashlib
import os
import resource
import shutil
import signal
import tempfile
import traceback
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from jointmap.changes.load import load
from jointmap.changes.telling import told
from jointmap.errors import JointmapError
from jointmap.pages.asked import assessed
from jointmap.pages.dossier.page import dossier_html
from jointmap.pages.due.page import due_text
from jointmap.pages.findings_shown import shown_findings
from jointmap.pages.map_page import map_html
from jointmap.pages.month.page import write_month
from jointmap.pages.showing import Showing
from jointmap.pages.shown_tests import ShownTests
from jointmap.sites.site_folder import SiteFolder
from jointmap.storage.verifying.checking import check_register
from jointmap.wording.problems import lines_of
from jointmap.workflows.export import export_joints
from jointmap.workflows.opening import open_site
from tests.fuzz.cut_sample import AFTER, ON

SECONDS = 10
WALL_SECONDS = 60  # the machine may be busy
MOST_KIB = 1024 * 1024
# What the program holds before it reads anything.
PROGRAM_KIB = 150 * 1024
OWN_FAULTS = ("reading.fault", "reading.crash", "reading.seconds", "reading.memory")
Delivery = Mapping[str, bytes]


class Fault(AssertionError):  # noqa: N818
    """What a delivery did that none may do."""


def _bytes(site: SiteFolder) -> bytes:
    return hashlib.sha256((site.path / "register.sqlite").read_bytes()).digest()


def _written(delivery: Delivery, folder: Path) -> Path:
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    for name, data in delivery.items():
        (folder / name).write_bytes(data)
    return folder


def try_load(site: SiteFolder, delivery: Delivery) -> bool:
    """Load a delivery; return whether the register took any of it."""
    before = _bytes(site)
    sent = _written(delivery, site.path.parent / "delivery")
    try:
        report = load(site, [sent], now=AFTER, by="E1", reason="tried", rules=True)
        problems = (*report.refused, *report.held)
        list(told(report, Path("site")))
        taken = True
    except JointmapError as refused:
        problems, taken = refused.problems, False
        if _bytes(site) != before:
            raise Fault("refused, and the register changed") from refused
    lines = list(lines_of(problems))
    own = [line for p, line in zip(problems, lines, strict=False) if p.id in OWN_FAULTS]
    if own or any("not given)" in line for line in lines):
        raise Fault(own or lines)
    return taken and _bytes(site) != before


def verified(site: SiteFolder) -> None:
    found = check_register(site.register, site.path)
    if found.problems:
        raise Fault(list(lines_of(found.problems)))


def _tag(site: SiteFolder) -> str:
    with site.register.read(None) as state:
        from jointmap.register import Joint

        return max(j.tag for j in state.records(Joint).values())


def _findings(site: SiteFolder) -> None:
    with assessed(site, ON, None) as (found, frame):
        showing = Showing(found, frame)
        shown_findings(showing, ShownTests(showing))


def readers(site: SiteFolder) -> Iterator[tuple[str, Callable[[], object]]]:
    day = {"on": ON, "known": None}
    out = site.path.parent
    yield "due", lambda: due_text(site, **day, until=None, form="csv")
    yield "map", lambda: map_html(site, **day)
    yield "findings", lambda: _findings(site)
    yield "dossier", lambda: dossier_html(site, _tag(site), **day)
    yield "export", lambda: export_joints(site, out / "joints.csv", **day)
    yield "month", lambda: write_month(site, "2026-05", out / "month", **day)


def read_all(site: SiteFolder) -> None:
    """Run every reader; one that fails is named with the fault."""
    for name, read in readers(site):
        try:
            read()
        except Exception as error:
            raise Fault(f"{name}: {type(error).__name__}: {error}") from error


def trial(base: Path, deliveries: Sequence[Delivery], *, reads: bool) -> str:
    """Load deliveries one after the other into a copy; return the fault, or nothing."""
    with tempfile.TemporaryDirectory(dir=base.parent) as folder:
        site = open_site(Path(shutil.copytree(base, Path(folder) / "site")))
        taken, begun_with_kib = False, _held_kib()
        try:
            for number, delivery in enumerate(deliveries):
                _alarm()
                if try_load(site, delivery):
                    taken = True
                    verified(site)
                _check_memory(number, begun_with_kib)
            if taken and reads:
                _alarm()
                read_all(site)
        except Exception as error:
            if isinstance(error, Fault):
                return str(error)
            return "".join(traceback.format_exception(error)[-6:])
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
            signal.setitimer(signal.ITIMER_REAL, 0)
            site.register.close()
    return ""


def _alarm() -> None:
    # The default action ends the process: no library can swallow it.
    signal.setitimer(signal.ITIMER_PROF, SECONDS)
    signal.setitimer(signal.ITIMER_REAL, WALL_SECONDS)


def _held_kib() -> int:
    """Return the most memory that this process or one of its own ever held."""
    own = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    return max(resource.getrusage(who).ru_maxrss for who in own)


def _check_memory(number: int, begun_with_kib: int) -> None:
    # A process that was forked begins with what its tests' process holds by then.
    added = _held_kib() - begun_with_kib
    if added > MOST_KIB - PROGRAM_KIB:
        raise Fault(f"delivery {number}: {added // 1024} MiB")


def apart(work: Callable[[], str]) -> str:
    """Do ``work`` in a forked process; return what it returned, or how it ended."""
    out, into = os.pipe()
    process = os.fork()
    if process == 0:
        try:
            os.close(out)
            with os.fdopen(into, "w", encoding="utf-8", errors="replace") as pipe:
                pipe.write(work())
        finally:
            os._exit(0)
    os.close(into)
    with os.fdopen(out, encoding="utf-8") as pipe:
        said = pipe.read()
    _, status = os.waitpid(process, 0)
    if os.WIFSIGNALED(status):
        return f"ended by {signal.Signals(os.WTERMSIG(status)).name}"
    return said
