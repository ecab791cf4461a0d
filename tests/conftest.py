"""What every test may ask for; each fixture says what is special about it."""

import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import hypothesis
import pytest
from filelock import FileLock

from tests.command_line import as_process

ROOT = Path(__file__).resolve().parents[1]
NO_SKIP = bool(os.environ.get("JOINTMAP_NO_SKIP"))
# The one thing that may be absent all the same, by a part of its reason.
MAY_SKIP = os.environ.get("JOINTMAP_MAY_SKIP")

# In CI the same examples each time; by hand new ones, which is how faults are found.
hypothesis.settings.register_profile("hand", deadline=None)
hypothesis.settings.register_profile("ci", deadline=None, derandomize=True)
hypothesis.settings.load_profile("ci" if os.environ.get("CI") else "hand")


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the options of this project."""
    group = parser.getgroup("jointmap")
    group.addoption(
        "--full",
        action="store_true",
        help="prove the counts and sizes that the issues name, not small ones",
    )
    group.addoption(
        "--full-only",
        action="store_true",
        help="of --full only the tests that need it",
    )
    group.addoption(
        "--update-golden",
        action="store_true",
        help="write what came out over the expected files; read the diff afterwards",
    )


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int | None:
    """Work alone on files named one by one, and on expected files to be written."""
    named = [Path(arg.split("::")[0]) for arg in config.args]
    alone = config.getoption("--update-golden") or all(map(Path.is_file, named))
    return 0 if alone else None


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(
    config: pytest.Config, items: list[pytest.Item]
) -> None:
    """Leave out what only shows at full size, unless asked for it; group the rest."""
    for item in items:
        if _asks_for_what_its_file_shares(item):
            item.add_marker(pytest.mark.xdist_group(item.path.name))
    if config.getoption("--full-only"):
        left_out = [i for i in items if not _is_larger_in_full(i)]
    elif config.getoption("--full"):
        return
    else:
        left_out = [i for i in items if i.get_closest_marker("full")]
    if left_out:
        config.hook.pytest_deselected(items=left_out)
        less = set(left_out)
        items[:] = [i for i in items if i not in less]


def _is_larger_in_full(item: pytest.Item) -> bool:
    asked = set(getattr(item, "fixturenames", ()))
    return bool(asked & {"full", "count"} or item.get_closest_marker("full"))


def _asks_for_what_its_file_shares(item: pytest.Item) -> bool:
    # Made once in each process that asks: one process for all of the file that do.
    known = getattr(item, "_fixtureinfo", None)
    found = known.name2fixturedefs.values() if known else ()
    return any(d.scope == "module" for definitions in found for d in definitions)


def _reasons(reporter: pytest.TerminalReporter) -> set[str]:
    return {str(report.longrepr[2]) for report in reporter.stats.get("skipped", [])}


def _failing(reasons: set[str]) -> set[str]:
    return {r for r in reasons if NO_SKIP and not (MAY_SKIP and MAY_SKIP in r)}


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """Under JOINTMAP_NO_SKIP a skipped test fails the run."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    # A worker reports to the process that started it, and has no reporter itself.
    if reporter and _failing(_reasons(reporter)):
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Say what was skipped and why, and what it means here."""
    reasons = _reasons(terminalreporter)
    for why in sorted(reasons):
        terminalreporter.write_line(f"not run: {why}")
    if _failing(reasons):
        terminalreporter.write_line("JOINTMAP_NO_SKIP is set: a skip fails the run")


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder that holds README.md, whatever the working folder is."""
    return ROOT


@pytest.fixture(scope="session")
def full(request: pytest.FixtureRequest) -> bool:
    """Whether this run proves the sizes that the issues name."""
    options = (
        request.config.getoption("--full"),
        request.config.getoption("--full-only"),
    )
    return any(options)


@pytest.fixture(scope="session")
def count(full: bool) -> Callable[[int, int], int]:
    """``count(small, named)``: how many to try; the second one under ``--full``."""
    return lambda small, named: named if full else small


@pytest.fixture(scope="session")
def golden(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """``golden(name, text)``: compare with tests/golden/name, or write it anew."""

    def compare(name: str, text: str) -> None:
        path = ROOT / "tests" / "golden" / name
        if request.config.getoption("--update-golden"):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8", newline="")
        assert path.read_bytes().decode("utf-8") == text, f"differs from {path}"

    return compare


@pytest.fixture(scope="session")
def once(
    tmp_path_factory: pytest.TempPathFactory, worker_id: str
) -> Callable[[str, Callable[[Path], object]], Path]:
    """``once(name, make)``: a folder that ``make`` fills, once for all processes."""
    own = tmp_path_factory.getbasetemp()
    shared = own if worker_id == "master" else own.parent

    def made(name: str, make: Callable[[Path], object]) -> Path:
        folder, done = shared / f"once-{name}", shared / f"once-{name}.done"
        with FileLock(shared / f"once-{name}.lock"):
            if not done.exists():
                # What a process left half-made that failed here is of no use.
                shutil.rmtree(folder, ignore_errors=True)
                folder.mkdir()
                make(folder)
                done.touch()
        return folder

    return made


@pytest.fixture(scope="session")
def demo(once):
    """The demo's folder, made once by the real command line; nobody writes into it."""

    def make(folder: Path) -> None:
        ran = as_process("demo", folder / "out")
        assert ran.code == 0, ran
        last = ran.out.splitlines()[-1]
        assert last == str(folder / "out" / "pages" / "index.html")

    return once("demo", make) / "out"


@pytest.fixture(scope="session")
def pages(demo):
    """The demo's pages; nobody writes into them."""
    return demo / "pages"


@pytest.fixture(scope="session")
def chromium() -> str:
    """The path of a Chromium on this machine; no test downloads a browser."""
    for name in ("chromium", "chromium-browser", "google-chrome"):
        if found := shutil.which(name):
            return found
    pytest.skip("no Chromium here: its tests were not run")


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[Path]:
    """The socket folder of a PostgreSQL of our own, started here and stopped after."""
    tools = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    if not tools:
        pytest.skip("no PostgreSQL here: its tests were not run")
    # A short path, because a socket's path is; another user, because it refuses root.
    folder = Path(tempfile.mkdtemp(prefix="jointmap-"))
    user = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    if user:
        shutil.chown(folder, "postgres")

    def run(tool: str, *words: str) -> None:
        data = ["-D", str(folder / "data")]
        command = [*user, str(tools[-1].with_name(tool)), *data, *words]
        subprocess.run(command, check=True, capture_output=True, cwd=folder)

    run("initdb", "-U", "jointmap", "-A", "trust", "-E", "UTF8", "--locale=C", "-N")
    settings = f"-k {folder} -c listen_addresses= -c fsync=off"
    run("pg_ctl", "-w", "-o", settings, "-l", str(folder / "log"), "start")
    yield folder
    run("pg_ctl", "-w", "-m", "immediate", "stop")
    shutil.rmtree(folder)


@pytest.fixture
def postgres_url(postgres_server: Path, request: pytest.FixtureRequest) -> str:
    """The address of an empty PostgreSQL database, one for each test."""
    psycopg = pytest.importorskip("psycopg")
    name = f"t{abs(hash(request.node.nodeid))}"
    server = f"host={postgres_server} user=jointmap dbname=postgres"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')
    return f"postgresql+psycopg://jointmap@/{name}?host={postgres_server}"
