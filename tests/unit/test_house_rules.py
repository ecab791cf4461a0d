"""Each rule of the house refuses a tree that breaks it: where, and what would do."""

import tomllib

import house_rules
import pytest

PROJECT = """
[tool.importlinter]
[[tool.importlinter.contracts]]
name = "Layers"
type = "layers"
exhaustive = true
exhaustive_ignores = ["__main__", "version"]

[[tool.importlinter.contracts]]
name = "The core is pure"
type = "forbidden"
source_modules = [{}]
""".format(", ".join(f'"jointmap.{name}"' for name in house_rules.PURE))
EXCEPTIONS = "[same_subject]\n[read_by_nobody]\n[texts]\n"
ROWS = "| a record | `jointmap/register/` |\n| a page | `jointmap/pages/` |\n"
ASKS = "def names(state):\n    return state.records(object)\n"
SAYS = "TEXT = 'the pipe is bare'\n"


GOOD = {
    "pyproject.toml": PROJECT,
    "DEVELOPERS.md": ROWS,
    "docs/explanation/architecture.md": "| `register`, `pages` | both |\n",
    ".ci/house_exceptions.toml": EXCEPTIONS,
    "jointmap/register/__init__.py": '"""The records are frozen."""\n',
    "jointmap/register/codes.py": (
        'class Stage(StrEnum):\n    """How far it is."""\n\n    LEFT = "as left"\n'
    ),
    "jointmap/pages/__init__.py": "",
    "jointmap/pages/joint.py": "SHOWN = ('as left', 'page.title', 'SELECT')\n",
    "jointmap/wording/sentences.py": SAYS,
    "jointmap/snapshot/reading.py": ASKS,
    "jointmap/workflows/soundness/verify.py": ASKS,
    "jointmap/tables/studs.csv": "name\nstud in the way\n",
}


@pytest.fixture
def tree(tmp_path):
    """Write a small program that breaks no rule, but for what is changed of it."""

    def write(changed):
        for name, text in {**GOOD, **changed}.items():
            path = tmp_path / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return tmp_path

    return write


def told(root):
    return [str(broken) for rule in house_rules.RULES for broken in rule(root)]


def test_a_good_tree_breaks_no_rule(tree):
    assert told(tree({})) == []


JOINT = "jointmap/pages/joint.py"


def named(rule, line):
    """The list of exceptions with one in it."""
    return EXCEPTIONS.replace(f"[{rule}]", f"[{rule}]\n{line}")


MANY = {f"jointmap/pages/page_{n}.py": "" for n in range(24)}
BAD = {
    "a package without a layer": (
        {"pyproject.toml": PROJECT.replace("exhaustive = true", "exhaustive = false")},
        "pyproject.toml:4: a package without a layer would pass;"
        " accepted: exhaustive = true",
    ),
    "packages left out of the layers": (
        {"pyproject.toml": PROJECT.replace('"version"', '"version", "pages"')},
        "pyproject.toml:4: packages are left out of the layers;"
        " accepted: ['__main__', 'version']",
    ),
    "a pure package that nobody keeps pure": (
        {"pyproject.toml": PROJECT.replace('"jointmap.findings"', "")},
        "pyproject.toml:10: findings is not among the pure packages;"
        ' accepted: "jointmap.findings" in source_modules',
    ),
    "too many files": (
        MANY,
        "jointmap/pages:0: 26 files;"
        " accepted: at most 25; move a subject into a folder of its own",
    ),
    "too many lines": (
        {"jointmap/pages/joint.py": "\n" * 3001},
        "jointmap/pages:0: 3001 lines;"
        " accepted: at most 3000; move a subject into a folder of its own",
    ),
    "one name for two things": (
        {"jointmap/pages/codes.py": ""},
        "jointmap/register/codes.py:1: codes.py stands in jointmap/pages/codes.py and"
        " jointmap/register/codes.py; accepted: another name,"
        " or the subject of both in .ci/house_exceptions.toml",
    ),
    "a page that asks storage": (
        {"jointmap/pages/joint.py": ASKS},
        "jointmap/pages/joint.py:2: records asks storage for records;"
        " accepted: a Snapshot",
    ),
    "a page that asks storage for columns": (
        {"jointmap/pages/joint.py": "FOUND = read_arrays(state, kind, names)\n"},
        "jointmap/pages/joint.py:1: read_arrays asks storage for records;"
        " accepted: a Snapshot",
    ),
    "a page that opens what a snapshot is of": (
        {"jointmap/pages/joint.py": "FOUND = snapshot.stored\n"},
        "jointmap/pages/joint.py:1: stored asks storage for records;"
        " accepted: a Snapshot",
    ),
    "a job that reads the register": (
        {"jointmap/workflows/due.py": "with site.register.read() as state:\n    ...\n"},
        "jointmap/workflows/due.py:1: register.read asks storage for records;"
        " accepted: a Snapshot",
    ),
    "a text in a page": (
        {"jointmap/pages/joint.py": SAYS},
        "jointmap/pages/joint.py:1: the text 'the pipe is bare';"
        " accepted: an id, its sentence in wording",
    ),
    "a part of a text in a page": (
        {"jointmap/pages/joint.py": "def f(n):\n    return f'{n} of the pipes'\n"},
        "jointmap/pages/joint.py:2: the text ' of the pipes';"
        " accepted: an id, its sentence in wording",
    ),
    "a package that is in no table": (
        {"DEVELOPERS.md": "`jointmap/register/`, `jointmap/pages/`\n"},
        "DEVELOPERS.md:1: no row for pages;"
        " accepted: | you want to change | `jointmap/pages/` |",
    ),
    "a module of texts that is gone": (
        {".ci/house_exceptions.toml": named("texts", '"jointmap/pages/x.py" = 1')},
        ".ci/house_exceptions.toml:4: jointmap/pages/x.py needs no exception any more;"
        " accepted: no line for it",
    ),
    "a text that is gone": (
        {
            ".ci/house_exceptions.toml": named("texts", f'"{JOINT}" = 2'),
            "jointmap/pages/joint.py": SAYS,
        },
        ".ci/house_exceptions.toml:4: jointmap/pages/joint.py breaks the rule 1 times,"
        " not 2; accepted: 1",
    ),
    "one text more than named": (
        {
            ".ci/house_exceptions.toml": named("texts", f'"{JOINT}" = 1'),
            "jointmap/pages/joint.py": SAYS + SAYS,
        },
        "jointmap/pages/joint.py:2: the text 'the pipe is bare';"
        " accepted: an id, its sentence in wording",
    ),
    "a file whose texts nobody reads has none": (
        {".ci/house_exceptions.toml": named("read_by_nobody", f'"{JOINT}" = "SQL"')},
        ".ci/house_exceptions.toml:3: jointmap/pages/joint.py needs no exception any"
        " more; accepted: no line for it",
    ),
    "a name that stands once": (
        {".ci/house_exceptions.toml": named("same_subject", 'codes = "words"')},
        ".ci/house_exceptions.toml:2: codes needs no exception any more;"
        " accepted: no line for it",
    ),
}


@pytest.mark.parametrize("case", BAD)
def test_a_bad_tree_is_refused_with_file_line_and_what_would_do(tree, case):
    changed, sentence = BAD[case]
    assert sentence in told(tree(changed))


GOOD_ENOUGH = {
    "as often as named": {
        ".ci/house_exceptions.toml": named("texts", f'"{JOINT}" = 1'),
        "jointmap/pages/joint.py": SAYS,
    },
    "read by nobody": {
        ".ci/house_exceptions.toml": named("read_by_nobody", f'"{JOINT}" = "SQL"'),
        "jointmap/pages/joint.py": SAYS,
    },
    "one subject": {
        ".ci/house_exceptions.toml": named("same_subject", 'codes = "words"'),
        "jointmap/pages/codes.py": "",
    },
    "a docstring": {"jointmap/pages/joint.py": '"""What a page of a joint shows."""\n'},
    "markup": {"jointmap/pages/joint.py": "X = '<p class=\"of the page\">'\n"},
    "a cell of a table": {"jointmap/pages/joint.py": "X = 'stud in the way'\n"},
    "exactly as many files": dict(list(MANY.items())[:23]),
    "exactly as many lines": {"jointmap/pages/joint.py": "\n" * 3000},
}


@pytest.mark.parametrize("case", GOOD_ENOUGH)
def test_what_is_allowed_passes(tree, case):
    assert told(tree(GOOD_ENOUGH[case])) == []


@pytest.mark.parametrize("changed", [{}, {"jointmap/pages/joint.py": SAYS}])
def test_the_check_ends_as_it_found(tree, changed, capsys):
    assert house_rules.main(tree(changed)) == len(changed)
    assert len(capsys.readouterr().out.splitlines()) == len(changed)


def test_the_program_breaks_no_rule_of_its_own_house(root):
    assert told(root) == []


def test_each_subject_that_two_files_share_is_said_in_words(root):
    file = root / house_rules.EXCEPTIONS
    found = tomllib.loads(file.read_text(encoding="utf-8"))
    said = [*found["same_subject"].values(), *found["read_by_nobody"].values()]
    assert [text for text in said if not text.strip()] == []
