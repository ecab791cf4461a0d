"""Names that a person cannot tell apart, though a machine can.

Letters of other scripts that look like Latin ones: Unicode Technical Standard 39,
confusables.txt (edition 15.1; a part of it, from memory). Compared are capitals, since
tags are written so. Digits and dashes that look alike are not looked at here.
"""

import unicodedata

# Greek, Cyrillic and Armenian letters, folded, by the Latin letter of their capital.
_LOOKS = {
    "a": "\u03b1\u0430",
    "b": "\u03b2\u0432",
    "c": "\u0441\u03f2",
    "d": "\u0501",
    "e": "\u03b5\u0435",
    "g": "\u0261",
    "h": "\u03b7\u043d\u04bb\u0570",
    "i": "\u03b9\u0456\u0131\u04cf",
    "j": "\u0458\u03f3",
    "k": "\u03ba\u043a\u049b",
    "m": "\u03bc\u043c",
    "n": "\u03bd\u0578",
    "o": "\u03bf\u043e\u0585",
    "p": "\u03c1\u0440",
    "q": "\u051b",
    "s": "\u0455",
    "t": "\u03c4\u0442",
    "u": "\u057d",
    "w": "\u051d",
    "x": "\u03c7\u0445",
    "y": "\u03c5\u0443\u04af\u03b3",
    "z": "\u03b6",
}
_LATIN = str.maketrans(
    {letter: latin for latin, letters in _LOOKS.items() for letter in letters}
)
# Not seen, and of no category that says so: fillers, selectors, a joiner, a dot that
# small i brings along when a capital one is folded.
_UNSEEN = dict.fromkeys(
    (0x0307, 0x034F, 0x115F, 0x1160, 0x2800, 0x3164, *range(0xFE00, 0xFE10))
)
_SEEN = "LNPS"  # first letters of categories: letters, numbers, points, signs
_FORMAT = "Cf"
# Two joiners that some scripts cannot be written without.
_NEEDED = ("\u200c", "\u200d")
_NO_TEXT = ("Cc", "Cs", "Zl", "Zp", _FORMAT)


def skeleton(name: str) -> str:
    """Return what is the same for names that look the same.

    Case, width, forms of composed letters, marks that are not seen, runs of blanks, and
    letters of other scripts make no difference.

    Examples
    --------
    >>> skeleton("IJ-018") == skeleton("\u0399\u0408-018") == skeleton("ij\u200b-018")
    True
    """
    if name.isascii():
        return " ".join(name.lower().split())
    seen = "".join(c for c in name if unicodedata.category(c) != _FORMAT)
    folded = unicodedata.normalize("NFKC", seen).casefold().translate(_UNSEEN)
    return " ".join(unicodedata.normalize("NFKC", folded.translate(_LATIN)).split())


def says_nothing(text: str) -> bool:
    """Whether a text holds no letter, figure or sign that is seen.

    Examples
    --------
    >>> says_nothing(" \u200b"), says_nothing("7")
    (True, False)
    """
    return not any(unicodedata.category(c)[0] in _SEEN for c in skeleton(text))


def odd_mark(name: str) -> str:
    """Return code and name of the first mark that no name may hold, or nothing.

    Controls, marks that turn the direction of writing, and marks that are not seen.
    """
    if name.isascii() and name.isprintable():
        return ""
    odd = (c for c in name if unicodedata.category(c) in _NO_TEXT and c not in _NEEDED)
    return next((_called(c) for c in odd), "")


def _called(mark: str) -> str:
    named = unicodedata.name(mark, "a control character")
    return f"U+{ord(mark):04X} ({named.lower()})"
