"""Each fault that was mended has a test that is still there."""

import csv

import pytest

COLUMNS = ["fault", "what", "test", "before"]


@pytest.fixture(scope="module")
def rows(root):
    with (root / "tests" / "mended.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_every_row_is_whole(rows):
    assert rows
    assert [r for r in rows if list(r) != COLUMNS or not all(r.values())] == []


def test_every_test_named_is_there(root, rows):
    lost = []
    for row in rows:
        path, _, name = row["test"].partition("::")
        file = root / path
        function = f"def {name.partition('[')[0]}("
        if not (file.is_file() and function in file.read_text(encoding="utf-8")):
            lost.append(row["test"])
    assert lost == []
