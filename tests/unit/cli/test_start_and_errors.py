"""The command line itself: the clock, days, and how an error ends."""

import datetime as dt

import click
import pytest
from click.testing import CliRunner

from jointmap.cli import main
from jointmap.cli.options import Day, read_clock
from jointmap.errors import BrokenRegister, Problem, Refused, WrongUse
from tests.command_line import COMMANDS


@pytest.fixture
def failing():
    """A function that adds a command which ends with a given error."""
    name = "fails"

    def add(error):
        @main.command(name)
        def command():
            raise error

        return CliRunner().invoke(main, [name])

    yield add
    main.commands.pop(name, None)


@pytest.mark.parametrize(
    ("error", "code", "says"),
    [
        (WrongUse(Problem("load.nothing")), 2, "no file was named"),
        (Refused([Problem("file.empty", file="a.csv")] * 2), 3, "a.csv: the file is"),
        (BrokenRegister(Problem("load.nothing")), 4, "no file was named"),
        (PermissionError(13, "Not allowed", "x.html"), 3, "Not allowed: x.html"),
        (ZeroDivisionError("of its own"), 3, "its own). Run 'jointmap verify"),
        (click.UsageError("not so"), 2, "not so"),
        (click.exceptions.Exit(1), 1, ""),
    ],
)  # fmt: skip
def test_an_error_ends_with_its_code_and_a_sentence(failing, error, code, says):
    ran = failing(error)
    assert ran.exit_code == code
    assert says in ran.stderr
    assert ran.stdout == ""
    assert "Traceback" not in ran.stderr


def test_a_fault_of_its_own_is_shown_on_request(failing, monkeypatch):
    monkeypatch.setenv("JOINTMAP_TRACE", "1")
    ran = failing(KeyError("where\x1b[2J"))
    assert ran.exit_code == 3
    assert ran.stderr.startswith("Traceback")
    assert "KeyError: 'where\\x1b[2J'" in ran.stderr


def test_day_option():
    day = Day()
    assert day.convert("2026-05-15", None, None) == dt.date(2026, 5, 15)
    assert day.convert(dt.date(2026, 5, 15), None, None) == dt.date(2026, 5, 15)
    with pytest.raises(click.BadParameter, match="accepted: 2026-05-15"):
        day.convert("tomorrow", None, None)


def test_clock_is_in_utc():
    assert read_clock().utcoffset() == dt.timedelta(0)


def test_help_of_all():
    ran = CliRunner().invoke(main, ["--help"])
    assert ran.exit_code == 0
    for name, command in main.commands.items():
        assert f"  {name} " in ran.output
        assert command.short_help
    assert all(command.short_help for command in COMMANDS.values())
    # One screen of an old terminal.
    assert len(ran.output.splitlines()) <= 40
    assert max(map(len, ran.output.splitlines())) <= 80


def test_help_of_the_commands_of_a_group():
    ran = CliRunner().invoke(main, ["change", "--help"])
    assert ran.exit_code == 0
    assert "  rename " in ran.output


def test_version():
    ran = CliRunner().invoke(main, ["--version"])
    assert ran.output.startswith("jointmap, version ")


WHOLE = [
    (name, option)
    for name, command in COMMANDS.items()
    for option in command.params
    if isinstance(option.type, click.types.IntParamType)
]


@pytest.mark.parametrize(("name", "option"), WHOLE, ids=[f"{n} {o}" for n, o in WHOLE])
def test_every_whole_number_has_a_range_that_a_database_holds(name, option):
    assert isinstance(option.type, click.IntRange), name
    assert option.type.min in {0, 1}
    for far in (-1, 2**31, 10**19):
        with pytest.raises(click.BadParameter, match="range"):
            option.type.convert(str(far), option, None)
    assert option.type.convert(str(2**31 - 1), option, None) == 2**31 - 1


def test_whole_numbers_are_found_in_the_commands():
    assert {"verify", "waiting", "change seen", "findings"} <= {
        name for name, _ in WHOLE
    }


PATHS = [
    (name, param)
    for name, command in COMMANDS.items()
    for param in command.params
    if isinstance(param.type, click.Path) or param.name == "database"
]


@pytest.mark.parametrize(("name", "param"), PATHS, ids=[f"{n} {p}" for n, p in PATHS])
def test_an_empty_text_is_no_path(name, param):
    given = ("",) if param.nargs == -1 else ""
    with pytest.raises(WrongUse, match=r"command\.no_path") as refused:
        param.process_value(click.Context(COMMANDS[name]), given)
    assert refused.value.problems[0].values["name"] in {*param.opts, param.name.upper()}
