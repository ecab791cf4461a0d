"""Each stated limit: at it read, beyond it one sentence with file, found and limit."""

import time
import tracemalloc

import pytest

from jointmap.errors import Problem, Refused
from jointmap.exchange import read_file
from jointmap.incoming import read_json, read_toml
from jointmap.incoming.size_limits import (
    ACCEPTED_LETTERS,
    ALIKE,
    CELL,
    COLUMNS,
    DEPTH,
    DIGITS,
    DOTS,
    LINE_BYTES,
    LINES,
    MESSAGE_LETTERS,
    MIB,
    POINTS,
    SETTINGS_BYTES,
    STATED,
    TOLD,
)
from jointmap.wording.families import SENTENCES
from jointmap.wording.problems import line_of, lines_of
from tests.small_site import SHEETS

PEOPLE = "code,role,organisation\n"


def line_of_points(count):
    points = ",".join(f"[{n},1]" for n in range(count))
    return (
        '{"features":[{"properties":{"name":"L"},"geometry":{"type":"LineString",'
        f'"coordinates":[{points}]}}}}]}}'
    )


MANY_NAMES = '"L",' + ",".join(f'"{n}":1' for n in range(300))
MANY_LINES = f'P,r,"{"x" * 9}{chr(10) * CELL.most}"'
HALF = '"L","\\udfff":1'
NO_SHAPE = '{"features":[{"geometry":null}]}'
DOTTED = 'correction_reason = "a.b.c.d.e.f.g.h.i.j.k"  # a.b.c.d.e.f.g.h.i.j\n'


def property_of(text):
    return line_of_points(2).replace('"L"', text)


# limit -> file, what is just within it (or None), what is beyond it
BEYOND = {
    "columns": (COLUMNS, "people.csv", ",".join(f"c{n}" for n in range(20_000))),
    "line": (LINE_BYTES, "people.csv", PEOPLE + "x" * (LINE_BYTES.most + 1)),
    "open quote": (LINE_BYTES, "people.csv", PEOPLE + '"' + "x" * 30 * MIB),
    "lines": (LINES, "people.csv", PEOPLE + "\n" * (LINES.most + 1)),
    "old line ends": (LINES, "people.csv", PEOPLE + "\r" * (LINES.most + 1)),
    "cell": (CELL, "people.csv", PEOPLE + f"P,r,{'x' * (CELL.most + 1)}\n"),
    "cell of many lines": (CELL, "people.csv", PEOPLE + MANY_LINES),
    "value of a feature": (CELL, "lines.geojson", property_of(f'"{"x" * 10_001}"')),
    "points": (POINTS, "lines.geojson", line_of_points(POINTS.most + 1)),
    "names": (COLUMNS, "lines.geojson", property_of(MANY_NAMES)),
    "deep": (DEPTH, "lines.geojson", "[" * 100_000),
    "deep and closed": (DEPTH, "lines.geojson", property_of("[" * 40 + "]" * 40)),
    "deep objects": (DEPTH, "lines.geojson", '{"a":' * 5000 + "1" + "}" * 5000),
    "deep in TOML": (DEPTH, "this_site.toml", "a=" + "[" * 50_000),
    "digits": (DIGITS, "lines.geojson", property_of("1" * 4301)),
    "digits with a point": (DIGITS, "lines.geojson", property_of("0." + "1" * 4301)),
    "digits in TOML": (DIGITS, "this_site.toml", "code=" + "1" * 4301),
    "digits with bars": (DIGITS, "this_site.toml", "code=1" + "_1" * 4301),
    "dots": (DOTS, "this_site.toml", ".".join("a" * 30_000) + "=1"),
    "dots in a heading": (DOTS, "this_site.toml", f"[{'.'.join('a' * 30_000)}]"),
    "settings": (SETTINGS_BYTES, "this_site.toml", "# x\n" * 20_000),
}  # fmt: skip


@pytest.mark.parametrize("name", BEYOND)
def test_beyond_a_limit_is_one_sentence(name):
    limit, file, text = BEYOND[name]
    data = text.encode()
    tracemalloc.start()
    before = time.process_time()
    with pytest.raises(Refused) as caught:
        read_file(file, data)
    taken = time.process_time() - before
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    (problem,) = caught.value.problems
    told = line_of(problem)
    assert problem.id == limit.id
    assert told.startswith(file)
    assert f"{limit.most:,}" in told
    assert str(problem.values["found"]) in told
    assert len(told) < MESSAGE_LETTERS.most
    assert taken < 5.0
    assert peak < 256 * MIB


WITHIN = {
    "columns": ("people.csv", PEOPLE + "P1,r,x\n"),
    "cell": ("people.csv", PEOPLE + f"P1,r,{'x' * CELL.most}\n"),
    "points": ("lines.geojson", line_of_points(POINTS.most)),
    "brackets in text": ("lines.geojson", property_of('"[[\\"' + "[" * 100 + '"')),
    "flat": ("this_site.toml", SHEETS["this_site.toml"] + DOTTED),
    "mixed line ends": ("people.csv", "code,role\r\nP1,r\nP2,r\rP3,r\r\n"),
    "mark of order": ("people.csv", "\ufeffcode,role,organisation\nP1,r,x\n"),
}  # fmt: skip


@pytest.mark.parametrize("name", WITHIN)
def test_within_the_limits_is_read(name):
    file, text = WITHIN[name]
    assert read_file(file, text.encode()).rows


HUGE = line_of_points(2).replace("[1,1]", "[1e999,1]")
ODD = {
    "name twice": ("lines.geojson", property_of('"L","name":"M"'), "file.json_twice"),
    "NaN": ("lines.geojson", property_of("NaN"), "file.json_constant"),
    "Infinity": ("lines.geojson", property_of("-Infinity"), "file.json_constant"),
    "half a letter": ("lines.geojson", property_of('"\\ud800"'), "file.half_letter"),
    "half a letter in a name": ("lines.geojson", property_of(HALF), "file.half_letter"),
    "a list for a value": ("lines.geojson", property_of("[1]"), "file.not_a_cell"),
    "a table for a value": ("this_site.toml", "code = {a = 1}", "file.not_a_cell"),
    "no list of features": ("lines.geojson", "[1]", "feature.none"),
    "no geometry": ("lines.geojson", NO_SHAPE, "feature.geometry"),
    "too large a number": ("lines.geojson", HUGE, "feature.point"),
    "UTF-16": ("people.csv", "code,role\n".encode("utf-16"), "file.encoding"),
    "NUL": ("people.csv", PEOPLE + "P\x00,r,x\n", "file.binary"),
    "TOML date": ("this_site.toml", "code = 2026-99-99", "file.not_toml"),
}  # fmt: skip


@pytest.mark.parametrize("name", ODD)
def test_odd_text_is_one_sentence(name):
    file, text, id_ = ODD[name]
    with pytest.raises(Refused) as caught:
        read_file(file, text if isinstance(text, bytes) else text.encode())
    (problem,) = caught.value.problems
    assert (problem.id, problem.file) == (id_, file)
    assert "(" not in line_of(problem) or "not given" not in line_of(problem)


def points_of(text):
    return line_of_points(2).replace("[[0,1],[1,1]]", text)


PAIR = "[longitude, latitude]"
SHAPES = {
    "null": ("null", "no GeoJSON collection of lines", "found: null; accepted"),
    "a feature that is null": ('{"features":[null]}', "feature 1 is null; accepted"),
    "no coordinates": (points_of("null"), "coordinates of feature 1: null", PAIR),
    "one point": (points_of("[[1,2]]"), "a list of 1; accepted", "two points or more"),
    "a letter": (points_of('[["a",1],[2,3]]'), 'point 1 of feature 1: "a"', PAIR),
    "truths": (points_of("[[1,2],[false,true]]"), "point 2 of feature 1: false", PAIR),
    "a bare number": (points_of("[[1,2],3]"), "point 2 of feature 1: 3;", PAIR),
    "half a pair": (points_of("[[1,2],[3]]"), "point 2 of feature 1: a list of 1"),
    "no JSON": ('{"features":\n[nul]}', "(line 2, column 2)"),
}


@pytest.mark.parametrize("name", SHAPES)
def test_odd_shape_is_told_without_words_of_python(name):
    text, *says = SHAPES[name]
    with pytest.raises(Refused) as caught:
        read_file("lines.geojson", text.encode())
    (problem,) = caught.value.problems
    told = line_of(problem)
    assert [word for word in says if word not in told] == [], told
    assert "not given" not in told
    for word in ("object is", "has no", "could not", "Expecting", "NoneType"):
        assert word not in told


def test_parser_that_recurses_all_the_same(monkeypatch):
    def recurse(*_, **__):
        raise RecursionError

    monkeypatch.setattr("json.loads", recurse)
    monkeypatch.setattr("tomllib.loads", recurse)
    for read in (read_json, read_toml):
        with pytest.raises(Refused) as caught:
            read("a", "x", "file.not_toml")
        assert caught.value.problems[0].id == DEPTH.id


def test_every_limit_has_its_sentence():
    assert [x.id for x in STATED if x.id and x.id not in SENTENCES] == []


def test_many_messages_alike_are_told_once():
    many = [Problem("cell.day", {}, "a.csv", n, "on", "x") for n in range(5_000)]
    other = [Problem("cell.truth", {}, "a.csv", 7, "is", "x")]
    lines = list(lines_of(many + other))
    assert len(lines) == ALIKE.most + 2
    assert (
        lines[-1]
        == f"a.csv, column on: and {5_000 - ALIKE.most} more, alike (cell.day)"
    )
    assert "column is" in lines[-2]


def test_the_same_line_is_told_once():
    same = [Problem("cell.day", {}, "a.csv", 4, "on", "x")] * 3
    assert list(lines_of(same)) == [line_of(same[0])]


def test_no_more_messages_than_a_person_reads():
    many = [Problem("cell.day", {}, f"{n}.csv", 2, "on", "x") for n in range(2_000)]
    lines = list(lines_of(many))
    assert len(lines) == TOLD.most + 1
    assert lines[-1].startswith(f"and {2_000 - TOLD.most} more messages")


def test_long_lists_and_values_are_cut():
    accepted = ", ".join(f"column_{n}" for n in range(500))
    line = line_of(
        Problem("cell.word", {"accepted": accepted}, "a", 1, "c", "v" * 5_000)
    )
    assert len(line) < MESSAGE_LETTERS.most
    assert "... (5,000 letters)" in line
    shown = line.split("accepted: ")[1]
    assert len(shown) <= ACCEPTED_LETTERS.most + 20
    assert int(shown.split()[-2]) + shown.count("column_") == 500
