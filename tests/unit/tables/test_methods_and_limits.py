"""The catalogue of methods, limits and sources is whole, and refuses what is not."""

import pytest

from jointmap.acceptance import JUDGES, limit_in_force
from jointmap.errors import Refused
from jointmap.register.codes import LimitRole, Mark, Purpose, Scope, Stage
from jointmap.tables import (
    LIMITS,
    METHOD_CODES,
    METHODS,
    SOURCES,
    limits,
    methods,
    sources,
)
from jointmap.units import HELD_IN
from jointmap.wording import say
from tests.judging_samples import SINCE

ORDER = [
    "insulation-resistance",
    "spark",
    "radio-frequency",
    "radio-frequency-leads",
    "potential-difference",
    "potential-shift",
    "joint-resistance",
    "span-current",
    "hum",
    "pipe-locator",
    "stud-resistance",
    "core-resistance",
    "ohmmeter",
    "surge-device-check",
    "bond-check",
    "look",
    "source-output",
]
METHOD = (
    '[[method]]\ncode = "x"\nlabel = "l"\nmeasures = "m"\ntells = "device"\n'
    'quantity = ""\nscopes = []\nstages = []\ncannot = "c"\nneeds = "n"\nminutes = 1\n'
    'sources = ["owner"]\nmark = "seen"\n'
)
HEAD = "name,method,role,value,unit,purpose,source,clause,edition,mark\n"
ROW = "n,ohmmeter,isolating at least,1,ohm,,owner,,,seen\n"


def faults(load, text):
    with pytest.raises(Refused) as caught:
        load(text)
    for problem in caught.value.problems:
        assert "not given" not in say(problem.id, problem.values)
    return [p.id for p in caught.value.problems]


def test_methods_keep_their_order():
    # Columns hold a method as its place: a change here changes what old rows mean.
    assert [m.code for m in METHODS] == ORDER == list(JUDGES)
    assert METHOD_CODES["ohmmeter"] == ORDER.index("ohmmeter")


@pytest.mark.parametrize("method", METHODS, ids=ORDER)
def test_a_method_uses_words_the_register_knows(method):
    assert set(method.scopes) <= {str(s) for s in Scope}
    assert set(method.stages) <= {str(s) for s in Stage}
    assert method.tells in {"device", "stud", "boundary", "path", "source"}
    assert not method.quantity or method.quantity in HELD_IN
    assert method.mark in list(Mark)
    assert method.minutes > 0


@pytest.mark.parametrize("name", list(LIMITS))
def test_a_limit_can_be_put_in_force(name):
    row, record = LIMITS[name], limit_in_force(name, SINCE)
    assert LimitRole(row.role) is record.role
    assert not row.purpose or Purpose(row.purpose) is record.purpose
    assert record.source == SOURCES[row.source].title
    # Nobody is cited for what the owner chose.
    assert (row.source == "owner") == (row.mark == Mark.OWNER_CHOICE)


def test_published_thresholds_differ_by_25_times():
    limits_ = [x for x in LIMITS.values() if x.method == "potential-difference"]
    isolating = sorted({x.value for x in limits_ if x.role.startswith("isolating")})
    shorted = sorted(x.value for x in limits_ if x.role.startswith("shorted"))
    assert (isolating, shorted) == ([10.0, 25.0, 100.0, 250.0], [1.0, 2.0])


def test_sources_refused():
    whole = 'title = "t"\nedition = ""\nseen = ""\nmark = "seen"\n'
    assert faults(sources.load, '[a]\ntitle = "t"\n') == ["table.keys"]
    assert faults(sources.load, "[a]\n" + whole.replace('"t"', '""')) == [
        "table.no_source"
    ]


def test_methods_refused():
    assert faults(methods.load, '[[method]]\ncode = "x"\n') == ["table.keys"]
    assert faults(methods.load, METHOD + METHOD) == ["table.twice"]
    assert faults(methods.load, METHOD.replace('["owner"]', "[]")) == [
        "table.no_source"
    ]
    assert faults(methods.load, METHOD.replace('"owner"', '"nobody"')) == [
        "table.unknown_source"
    ]


def test_limits_refused():
    assert faults(limits.load, "name,value\n") == ["table.keys"]
    assert faults(limits.load, HEAD + ROW + ROW) == ["table.twice"]
    assert faults(limits.load, HEAD + ROW.replace("\n", ",more\n")) == ["table.cells"]
    assert faults(limits.load, HEAD + "n,ohmmeter\n") == ["table.cells"]
    assert faults(limits.load, HEAD + ROW.replace("owner", "")) == ["table.no_source"]
    assert faults(limits.load, HEAD + ROW.replace("owner", "nobody")) == [
        "table.unknown_source"
    ]
    assert faults(limits.load, HEAD + ROW.replace("ohmmeter", "guess")) == [
        "table.unknown_method"
    ]
    assert faults(limits.load, HEAD + ROW.replace(",1,", ",one,")) == ["table.number"]
