"""A short command loads what it uses: modules are slow to load, and easy to add."""

import json
import os
import subprocess
import sys

import pytest

SCRIPT = """\
import json, sys
from jointmap.cli import main
try:
    main(sys.argv[1:])
finally:
    print(json.dumps(sorted(sys.modules)), file=sys.stderr)
"""
# Slow to load; each is for a few commands only.
FAR = {
    "PIL", "alembic", "branca", "folium", "geopandas", "jinja2", "multiprocessing",
    "pandas", "pint", "pyogrio", "scipy", "segno", "shapely",
    "sqlalchemy.dialects.postgresql", "typst",
}  # fmt: skip
# Of what lays out tables: what draws bars, and colours code.
OF_BARS = {"markdown_it", "pygments", "rich.live", "rich.progress"}
OWN = {
    "jointmap.attached", "jointmap.changes", "jointmap.exchange", "jointmap.notebook",
    "jointmap.pages.dossier.page", "jointmap.findings.every_finding",
    "jointmap.pictures", "jointmap.reports.every_report", "jointmap.reports.pages",
    "jointmap.routes", "jointmap.site_map.page", "jointmap.storage.objects",
}  # fmt: skip


def loaded(*words):
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, *map(str, words)],
        capture_output=True,
        text=True,
        check=True,
        # What measures the lines that run has imports of its own.
        env={k: v for k, v in os.environ.items() if not k.startswith("COVERAGE")},
    )
    assert done.stdout
    return {*json.loads(done.stderr)}


@pytest.mark.parametrize("words", [("why", "IJ-018"), ("due",)])
def test_a_question_loads_no_page_and_no_picture(demo, words):
    found = loaded(words[0], demo / "site", *words[1:])
    assert "jointmap.assessment.assess" in found
    assert found & (FAR | OWN | OF_BARS) == set()
    # Only what prints a table loads what lays it out.
    assert ("rich.table" in found) is (words[0] == "due")


def test_help_loads_no_columns():
    found = loaded("verify", "--help")
    others = {"numpy", "sqlalchemy", "pyproj", "jointmap.storage", "jointmap.register"}
    assert found & (FAR | OWN | others | {"rich"}) == set()
