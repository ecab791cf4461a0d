"""Each finder has a case in which it fires and one, hardly different, in which not."""

import tomllib
from pathlib import Path

import pytest

from tests.opened_site import findings, opened

CASES = tomllib.loads(Path(__file__).with_name("finder_cases.toml").read_text("utf-8"))


def found(case, folder, kind, *, less):
    deliveries = [dict(case[name]) for name in ("more", "then") if name in case]
    if less:
        old, new = case["less"]
        assert any(old in text for sheets in deliveries for text in sheets.values())
        deliveries = [
            {name: text.replace(old, new) for name, text in sheets.items()}
            for sheets in deliveries
        ]
    site = opened(folder, *deliveries)
    every = findings(site)
    site.register.close()
    wanted = case.get("kind", kind)
    return [(at, says) for k, at, says in every if k == wanted]


@pytest.mark.parametrize("kind", CASES)
def test_fires(tmp_path, kind):
    case = CASES[kind]
    told = found(case, tmp_path, kind, less=False)
    assert [says for at, says in told if at == case["at"] and case["says"] in says], (
        told
    )


@pytest.mark.parametrize("kind", CASES)
def test_does_not_fire(tmp_path, kind):
    case = CASES[kind]
    told = found(case, tmp_path, kind, less=True)
    assert [
        says for at, says in told if at == case["at"] and case["says"] in says
    ] == []
