"""Drawings in SVG: read by an XML parser, written anew from what is allowed.

No document type, entity or file beside it is ever read: expat is asked for none, and
a drawing that declares its own entities is not rebuilt.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from xml.parsers import expat
from xml.sax.saxutils import escape, quoteattr

from jointmap.errors import Problem, Refused
from jointmap.pictures.allowed import (
    ELEMENTS,
    NAME,
    UNSEEN,
    UNWRAPPED,
    asks_for,
    attributes,
)

SVG = "image/svg+xml"
_NAMESPACE = "http://www.w3.org/2000/svg"
MOST_NODES, MOST_DEPTH, MOST_BYTES = 20_000, 60, 600_000
_MOST_NAMED = 8  # of what was left out; the first ones tell the story


class _Found(Exception):  # noqa: N818 - no fault: the look is over
    """The drawing's document type has entities of its own: nothing more is read."""


@dataclass(slots=True)
class _Node:
    """One element to be drawn; ``holds`` are elements and text in their order."""

    name: str
    kept: Mapping[str, str]
    holds: list["_Node | str"] = field(default_factory=list)


def _parser() -> expat.XMLParserType:
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.SetParamEntityParsing(expat.XML_PARAM_ENTITY_PARSING_NEVER)
    return parser


def root_fault(path: Path) -> Problem | None:
    """Return why a file is no drawing, reading all of it; nothing where it is one."""
    roots: list[str] = []
    depth = 0

    def begins(name: str, _given: Mapping[str, str]) -> None:
        nonlocal depth
        depth += 1
        if not roots:
            roots.append(name)
        if depth > 100 * MOST_DEPTH:
            raise ValueError(f"elements within elements, {depth} deep")

    def ends(_name: str) -> None:
        nonlocal depth
        depth -= 1

    def type_of(name: str, _system: object, _public: object, own: int) -> None:
        if own:
            roots.append(f"{_NAMESPACE} {name}" if name == "svg" else name)
            raise _Found

    parser = _parser()
    parser.StartElementHandler, parser.EndElementHandler = begins, ends
    parser.StartDoctypeDeclHandler = type_of
    try:
        with path.open("rb") as file:
            parser.ParseFile(file)
    except _Found:
        pass
    except (expat.ExpatError, ValueError) as error:
        return Problem("picture.no_xml", {"error": str(error)})
    is_svg = roots[0] in ("svg", f"{_NAMESPACE} svg")
    return None if is_svg else Problem("picture.no_svg", {"root": roots[0][:80]})


def rebuilt_drawing(path: Path) -> tuple[bytes, tuple[str, ...]]:
    """Return a drawing made anew, and the names of what was left out of it.

    Raises ``Refused`` for one that cannot be made anew within bounds.
    """
    builder = _Builder()
    with path.open("rb") as file:
        try:
            builder.parser.ParseFile(file)
        except expat.ExpatError as error:
            raise _not_rebuilt("no_xml", error=str(error)) from None
    drawing = builder.top.holds[0]
    if isinstance(drawing, str):
        raise _not_rebuilt("empty")
    _check_cost(drawing)
    text = "".join(_text_of(drawing, root=True)).encode()
    if len(text) > MOST_BYTES:
        raise _not_rebuilt("too_long", most=MOST_BYTES)
    return text, tuple(sorted(builder.left_out)[:_MOST_NAMED])


def _not_rebuilt(why: str, **facts: object) -> Refused:
    return Refused(Problem(f"picture.{why}", facts))


class _Builder:
    """Keeps what is allowed while expat reads on."""

    def __init__(self) -> None:
        self.top = _Node("", {})
        self.left_out: set[str] = set()
        self._open = [self.top]
        self._skipped = 0
        self._nodes = 0
        self._unwrapped: list[bool] = []
        self.parser = _parser()
        self.parser.StartElementHandler = self._begins
        self.parser.EndElementHandler = self._ends
        self.parser.CharacterDataHandler = self._says
        self.parser.StartDoctypeDeclHandler = self._type_of
        self.parser.SkippedEntityHandler = self._entity

    def _type_of(self, _name: str, _system: object, _public: object, own: int) -> None:
        if own:
            raise _not_rebuilt("entities")

    def _entity(self, name: str, _is_parameter: object) -> None:
        raise _not_rebuilt("entity", name=name[:80])

    def _begins(self, full: str, given: dict[str, str]) -> None:
        space, _, name = full.rpartition(" ")
        self._nodes += 1
        depth = len(self._open) + self._skipped + len(self._unwrapped)
        if self._nodes > MOST_NODES or depth > 2 * MOST_DEPTH:
            raise _not_rebuilt("too_many", most=MOST_NODES, deep=2 * MOST_DEPTH)
        if self._skipped or space not in ("", _NAMESPACE) or not self._takes(name):
            self._skipped += 1
            if space in ("", _NAMESPACE) and name not in UNSEEN:
                self._leave_out(name)
            return
        self._unwrapped.append(name in UNWRAPPED)
        if name not in UNWRAPPED:
            kept = attributes(name, given, self._leave_out)
            node = _Node(name, kept)
            self._open[-1].holds.append(node)
            self._open.append(node)

    def _leave_out(self, name: str) -> None:
        self.left_out.add(name if NAME.fullmatch(name) else "a name of odd letters")

    def _takes(self, name: str) -> bool:
        first = len(self._open) == 1
        return name == "svg" if first else name in ELEMENTS or name in UNWRAPPED

    def _ends(self, _full: str) -> None:
        if self._skipped:
            self._skipped -= 1
        elif not self._unwrapped.pop():
            self._open.pop()

    def _says(self, text: str) -> None:
        if not self._skipped and self._open[-1].name in (
            "text",
            "tspan",
            "title",
            "desc",
        ):
            self._open[-1].holds.append(text)


def _check_cost(drawing: _Node) -> None:
    """Refuse parts drawn again within parts until no browser comes to an end."""
    named: dict[str, _Node] = {}
    _name_all(drawing, named)
    costs: dict[int, int] = {}

    def cost(node: _Node) -> int:
        if id(node) in costs:
            return costs[id(node)]
        costs[id(node)] = MOST_NODES + 1  # of a part that asks for itself
        asked = [named[n] for n in asks_for(node.kept) if n in named]
        inside = [n for n in node.holds if isinstance(n, _Node)]
        costs[id(node)] = 1 + sum(map(cost, (*asked, *inside)))
        return costs[id(node)]

    if cost(drawing) > MOST_NODES:
        raise _not_rebuilt("drawn_out", most=MOST_NODES)


def _name_all(node: _Node, named: dict[str, _Node]) -> None:
    if "id" in node.kept:
        named.setdefault(node.kept["id"], node)
    for inside in node.holds:
        if isinstance(inside, _Node):
            _name_all(inside, named)


def _text_of(node: _Node, *, root: bool = False) -> list[str]:
    given = {"xmlns": _NAMESPACE, **node.kept} if root else node.kept
    own = "".join(f" {name}={quoteattr(value)}" for name, value in given.items())
    if not node.holds:
        return [f"<{node.name}{own}/>"]
    inside = [
        t
        for n in node.holds
        for t in ([escape(n)] if isinstance(n, str) else _text_of(n))
    ]
    return [f"<{node.name}{own}>", *inside, f"</{node.name}>"]
