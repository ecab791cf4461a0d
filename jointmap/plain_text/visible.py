"""Characters that cannot be seen, or that move others, as codes such as ``<U+202E>``.

The list is fixed here, not asked of Python, whose table of characters grows: the same
input gives the same bytes on every version. It holds all that Unicode 14 calls control,
format, private use, surrogate, line or paragraph separator; what may be drawn as
nothing (default ignorable: variation selectors, fillers, their reserved ranges); and
what will never be a character. A test compares it with Python's own table.
"""

import re
from collections.abc import Callable, Iterable

# Source: Unicode Character Database 14.0, DerivedGeneralCategory.txt and
# DerivedCoreProperties.txt (Default_Ignorable_Code_Point); Unicode Standard, section
# 23.7 for noncharacters.
_UNSEEN = (
    "\x00-\x1f\x7f-\x9f\xad\u034f\u0600-\u0605\u061c\u06dd\u070f\u0890\u0891\u08e2"
    "\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u2028-\u202e\u2060-\u206f"
    "\u3164\ud800-\uf8ff\ufdd0-\ufdef\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff"
    "\U000110bd\U000110cd\U00013430-\U0001343f\U0001bca0-\U0001bca3"
    "\U0001d173-\U0001d17a\U0001fffe\U0001ffff\U0002fffe\U0002ffff\U0003fffe-\U0010ffff"
)
UNSEEN = re.compile(f"[{_UNSEEN}]")
Told = Callable[[re.Match[str]], str]


def code(found: re.Match[str]) -> str:
    """Return the code that stands for one character."""
    return f"<U+{ord(found[0]):04X}>"


def visible(text: str, told: Told = code) -> str:
    r"""Return one piece of text on one line, every unseen character as its code.

    ``told`` may tell of it in another way.

    >>> visible("IJ-018\u202e 1\n2")
    'IJ-018<U+202E> 1<U+000A>2'
    """
    # Python's own look is quick and strict: it doubts more than the list, never less
    # of what is ASCII.
    if text.isascii() and text.isprintable():
        return text
    return UNSEEN.sub(told, text)


def lines_text(lines: Iterable[str]) -> str:
    """Return lines of the program's as one text: what is inside a line stays there."""
    return "".join(f"{visible(line)}\n" for line in lines)


def visible_lines(text: str, told: Told = code) -> str:
    """Return whole lines of the program's, with their ends kept."""
    # By lines: most are plain, and looking through every letter takes much longer.
    return "\n".join([visible(line, told) for line in text.split("\n")])
