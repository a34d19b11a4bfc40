"""The characters of a text element, each with where and how the file wants it (SVG 2, section 11.6)."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..painting.place import Place
from ..painting.sheet import Sheet
from ..source.document import Element
from ..styling.cascade import own_value
from ..styling.values import number

SPANS = frozenset(("tspan", "a", "textPath", "tref"))


@dataclass(frozen=True)
class Character:
    """One character.

    ``x``, ``y``: where it is put, user units, None to follow the one before. ``dx``, ``dy``: by how much it is moved.
    ``turn``: its rotation, deg. ``owner``: the element that holds it. ``path``: the ``textPath`` that it runs along.
    """

    text: str
    place: Place
    owner: Element
    x: float | None = None
    y: float | None = None
    dx: float = 0.0
    dy: float = 0.0
    turn: float = 0.0
    path: Element | None = None
    shift: float = 0.0


@dataclass
class _Span:
    """An element being read, and the lists that it gives to the characters inside it."""

    element: Element
    place: Place
    path: Element | None
    shift: float
    begin: int


def characters_of(sheet: Sheet, text: Element, place: Place) -> list[Character]:
    """Return the characters of a ``text`` element in reading order, white space collapsed as its style asks."""
    found: list[Character] = []
    spans: list[_Span] = []
    # Each task is a span to enter, a piece of character data, or a span to leave; no recursion however deep.
    tasks: list[tuple[str, Element, str, Place, Element | None, float]] = [("enter", text, "", place, None, 0.0)]
    while tasks:
        what, element, data, around, path, shift = tasks.pop()
        if what == "data":
            found += [Character(letter, around, element, path=path, shift=shift) for letter in data]
            continue
        if what == "leave":
            _hand_out(found, spans.pop())
            continue
        inside = around
        if element is not text:
            declared = sheet.cascade.declared(element)
            inside = around.styled(declared)
            if own_value(declared, around.declared, "display") == "none":
                continue
            shift += _baseline_shift(inside, around)
        if element.name == "textPath":
            path = element
        spans.append(_Span(element, inside, path, shift, len(found)))
        tasks.append(("leave", element, "", inside, path, shift))
        for child in reversed(element.children):
            tasks.append(("data", element, child.tail, inside, path, shift))
            if child.name in SPANS:
                tasks.append(("enter", child, "", inside, path, shift))
        tasks.append(("data", element, element.text, inside, path, shift))
    return found


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


def _hand_out(found: list[Character], span: _Span) -> None:
    """Give a span's lists of x, y, dx, dy and rotate to its characters; inner spans have had theirs and keep them."""
    lists = {name: (span.element.attrib.get(name) or "").replace(",", " ").split() for name in ("x", "y", "dx", "dy")}
    turns = (span.element.attrib.get("rotate") or "").replace(",", " ").split()
    if not any(lists.values()) and not turns:
        return
    addressed = 0
    space_before = True
    for at in range(span.begin, len(found)):
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
                unset = getattr(character, name) in {None, 0.0}
                if value is not None and unset:
                    changes[name] = value
        if turns and character.turn == 0:
            changes["turn"] = number(turns[min(addressed, len(turns) - 1)], 0.0)
        if changes:
            found[at] = replace(character, **changes)  # type: ignore[arg-type]
        addressed += 1


def _baseline_shift(place: Place, around: Place) -> float:
    """Return how far a span is raised over what holds it, user units."""
    word = own_value(place.declared, {}, "baseline-shift")
    named = {"baseline": 0.0, "sub": -0.2, "super": 0.4}
    if word in named:
        return named[word] * around.font_size
    if word.endswith("%"):
        return number(word, 0.0) * place.font_size
    return place.length(word) or 0.0
