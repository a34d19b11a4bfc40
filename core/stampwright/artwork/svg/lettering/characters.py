"""The characters of a text element, each with where and how the file wants it (SVG 2, section 11.6)."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ...fonts import Font
from ..painting.sheet import Sheet
from ..placing.place import Place
from ..source.conditions import applies
from ..source.document import Element
from ..styling.cascade import own_value
from ..styling.properties import Declared
from ..styling.values import number
from .baselines import baseline_shift
from .choosing import font_of

_SPANS = frozenset(("tspan", "a", "textPath"))

LINES = ("underline", "overline", "line-through")
"""Decorations of text, in the order in which they are drawn; the last goes over the letters."""


@dataclass(frozen=True)
class Character:
    """One character.

    ``x``, ``y``: where it is put, user units, None to follow the one before. ``dx``, ``dy``: by how much it is moved.
    ``turn``: its rotation, deg. Of all these, None where nothing says so. ``owner``: the element that holds it.
    ``path``: the ``textPath`` that it runs along.
    ``shift``: how far it is raised. ``lines``: which lines decorate it, and in whose paint. ``shrunk``: its size as a
    share of its type's. ``stand_in``: the font that it is taken from, None for the one that its style asks for.
    """

    text: str
    place: Place
    owner: Element
    x: float | None = None
    y: float | None = None
    dx: float | None = None
    dy: float | None = None
    turn: float | None = None
    path: Element | None = None
    shift: float = 0.0
    lines: tuple[tuple[str, Place], ...] = ()
    shrunk: float = 1.0
    stand_in: Font | None = None


@dataclass(frozen=True)
class _Span:
    """An element being read: what it hands to the characters inside it."""

    element: Element
    place: Place
    path: Element | None = None
    shift: float = 0.0
    lines: tuple[tuple[str, Place], ...] = ()


def characters_of(sheet: Sheet, text: Element, place: Place) -> list[Character]:
    """Return the characters of a ``text`` element in reading order, white space not yet collapsed."""
    found: list[Character] = []
    begun: list[int] = []
    whole = _Span(text, place, lines=_lines_around(sheet, text, place))
    # Each task is a span to enter, a piece of its character data, or a span to leave; no recursion however deep.
    tasks: list[tuple[str, _Span, str]] = [("enter", whole, "")]
    while tasks:
        what, span, data = tasks.pop()
        if what == "data":
            one = Character("", span.place, span.element, path=span.path, shift=span.shift, lines=span.lines)
            found += [replace(one, text=letter) for letter in data]
        elif what == "leave":
            _hand_out(found, span, begun.pop())
        else:
            begun.append(len(found))
            tasks.append(("leave", span, ""))
            for child in reversed(span.element.children):
                tasks.append(("data", span, child.tail))
                inner = _span_in(sheet, child, span, text)
                if inner is not None:
                    tasks.append(("enter", inner, ""))
            tasks.append(("data", span, _own_text(sheet, span.element)))
    return found


def _own_text(sheet: Sheet, element: Element) -> str:
    """Return character data before the first child; of a ``tref``, all of what it refers to (SVG 1.1, 10.6)."""
    referred = sheet.referred(element.href) if element.name == "tref" else None
    if referred is None:
        return element.text
    inside = list(referred.descendants())
    return referred.text + "".join(other.text for other in inside[1:]) + "".join(other.tail for other in inside[1:])


def _span_in(sheet: Sheet, element: Element, around: _Span, text: Element) -> _Span | None:
    """Return the span that an element opens inside another; None where it shows nothing."""
    # Text runs along a path only where its element stands in the text itself (SVG 2, section 11.8.1).
    if element.name not in _SPANS | {"tref"} or (element.name == "textPath" and around.element is not text):
        return None
    place = around.place.styled(sheet.cascade.declared(element))
    declared = place.declared
    if not applies(element) or own_value(declared, around.place.declared, "display") == "none":
        return None
    shift = around.shift
    if "baseline-shift" in declared:
        shift += baseline_shift(font_of(sheet, text, place), place, around.place)
    path = element if element.name == "textPath" else around.path
    return _Span(element, place, path, shift, around.lines + _lines_of(declared, place))


def _lines_around(sheet: Sheet, text: Element, place: Place) -> tuple[tuple[str, Place], ...]:
    """Return the lines that decorate a whole text; what stands round it decorates it too (CSS Text Decoration 3, 2)."""
    lines: tuple[tuple[str, Place], ...] = ()
    outer: Element | None = text
    while outer is not None:
        lines += _lines_of(sheet.cascade.declared_in(outer, place.style), place)
        outer = outer.parent
    return lines


def _lines_of(declared: Declared, place: Place) -> tuple[tuple[str, Place], ...]:
    words = declared.get("text-decoration", "").lower().split()
    return tuple((word, place) for word in LINES if word in words)


def collapsed(characters: list[Character]) -> list[Character]:
    """Return the characters with white space as CSS Text 3, section 4.1, has it; ``xml:space`` keeps it."""
    kept: list[Character] = []
    for character in characters:
        style = character.place.style
        letter = " " if character.text in "\t\n\r" else character.text
        preserved = style.get("xml:space") == "preserve" or style["white-space"] in {"pre", "pre-wrap", "break-spaces"}
        if letter == " " and not preserved and (not kept or kept[-1].text == " "):
            continue
        kept.append(replace(character, text=letter))
    if kept and kept[-1].text == " " and kept[-1].place.style.get("xml:space") != "preserve":
        kept.pop()
    return kept


def _hand_out(found: list[Character], span: _Span, begin: int) -> None:
    """Give a span's lists of x, y, dx, dy and rotate to its characters; inner spans have had theirs and keep them."""
    # A path gives its own places (SVG 2, section 11.8.1).
    names = () if span.element.name == "textPath" else ("x", "y", "dx", "dy")
    lists = {name: (span.element.attrib.get(name) or "").replace(",", " ").split() for name in names}
    turns = (span.element.attrib.get("rotate") or "").replace(",", " ").split()
    if not any(lists.values()) and not turns:
        return
    addressed = 0
    space_before = True
    for at in range(begin, len(found)):
        character = found[at]
        # White space that will collapse does not use up an entry.
        space = character.text.isspace()
        if space and space_before and character.place.style.get("xml:space") != "preserve":
            continue
        space_before = space
        changes: dict[str, float] = {}
        for name, words in lists.items():
            if addressed < len(words):
                value = span.place.length(words[addressed], name[-1])
                if value is not None and getattr(character, name) is None:
                    changes[name] = value
        if turns and character.turn is None:
            changes["turn"] = number(turns[min(addressed, len(turns) - 1)], 0.0)
        if changes:
            found[at] = replace(character, **changes)  # type: ignore[arg-type]
        addressed += 1
