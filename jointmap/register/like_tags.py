"""Tags that a person takes one for the other, and what a spreadsheet makes of a tag.

Common practice, no source: O is written for 0, I and l for 1, dashes and blanks go and
come, noughts before a number get lost; a spreadsheet takes 3-4 for a day, which it
writes as 4-Mar, and 1E5 for a number, and has a word of its own where no value is.
"""

import re
import unicodedata
from collections.abc import Iterator

from jointmap.register.same_letters import skeleton

_ALIKE = str.maketrans("oil", "011")
_RUN = re.compile(r"[a-z]+|[0-9]+|[^\W\d_]+")
_MONTHS = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
)  # fmt: skip
_MONTH = rf"(?P<month>{'|'.join(_MONTHS)})[a-z]*"
_DATES = (
    re.compile(rf"(?P<day>\d{{1,2}})[-/. ]{_MONTH}([-/. ]\d{{2,4}})?"),
    re.compile(rf"{_MONTH}[-/. ](?P<day>\d{{1,4}})"),
)
_NUMBER = re.compile(
    r"(?P<mantissa>\d+([.,]\d+)?)[eE](?P<sign>[+-]?)(?P<power>\d{1,2})"
)
# What stands in a cell that has no value, by a program or by a person.
_LEFT = re.compile(r"#[a-z0/]+[!?]?|n/?a|n\.a\.|nan|null|none|tb[acd]|unknown|[-?.#*]+")


def look_of(tag: str) -> str:
    """Return what is the same for tags that are easily taken one for the other.

    Examples
    --------
    >>> look_of("IJ-007") == look_of("ij 7") == look_of("lJ\u2013OO7")
    True
    >>> look_of("IJ-1-7") == look_of("IJ-17")
    False
    """
    runs = _RUN.findall(skeleton(tag).translate(_ALIKE))
    short = [r.lstrip("0") or "0" if r.isdigit() else r for r in runs]
    # Between two numbers something has to stand.
    pairs = zip(["", *short], short, strict=False)
    return "".join(
        f".{run}" if before.isdigit() and run.isdigit() else run
        for before, run in pairs
    )


def says_no_tag(text: str) -> bool:
    """Return whether a text is what stands where nobody knew a tag.

    Examples
    --------
    >>> says_no_tag("#REF!"), says_no_tag("n/a"), says_no_tag("NA-1")
    (True, True, False)
    """
    return _LEFT.fullmatch(skeleton(text)) is not None


def is_of_spreadsheet(tag: str) -> bool:
    """Return whether a spreadsheet may have made this of another tag.

    Examples
    --------
    >>> is_of_spreadsheet("4-Mar"), is_of_spreadsheet("1E5"), is_of_spreadsheet("E5")
    (True, True, False)
    """
    return any(pattern.fullmatch(_plain(tag)) for pattern in (*_DATES, _NUMBER))


def _plain(tag: str) -> str:
    """Return a tag in plain letters, large and small as they are."""
    return unicodedata.normalize("NFKC", tag).strip()


def looks_before(tag: str) -> Iterator[str]:
    """Yield the looks of what a spreadsheet may have made a tag from.

    Examples
    --------
    >>> list(looks_before("4-Mar"))
    ['4.3', '3.4', 'mar4', '4mar']
    """
    text = _plain(tag)
    for found in filter(None, (pattern.fullmatch(text) for pattern in _DATES)):
        day, month = int(found["day"]), found["month"]
        number = _MONTHS.index(month) + 1
        written = f"{day}-{number}", f"{number}-{day}", f"{month}{day}", f"{day}{month}"
        yield from map(look_of, written)
    power = _NUMBER.fullmatch(text)
    if power:
        yield from map(look_of, _numbers(power))


def _numbers(found: re.Match[str]) -> Iterator[str]:
    mantissa, power = float(found["mantissa"].replace(",", ".")), int(found["power"])
    yield f"{mantissa:g}e{power}"
    if found["sign"] != "-":
        yield f"{mantissa * 10**power:.0f}"
