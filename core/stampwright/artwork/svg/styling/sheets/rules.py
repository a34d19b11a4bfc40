"""The rules of a drawing's style sheets, in the order in which they give way to each other."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import cssselect2
import tinycss2

from ...notes import Notes
from ...source.document import Document, Element
from ..tokens import words_of
from .media import applies
from .supports import supported

_GROUPS = frozenset(("container", "scope", "starting-style"))
"""Rules that hold other rules, and are not followed."""

LONGEST_SELECTOR = 400
"""Tokens before a rule's brackets; the selector library follows each by recursion."""

_DEEPEST = 12
"""How far rules may lie inside one another."""

Rank = tuple[float, ...]
"""How much a layer of rules counts: what is declared later more, and what lies on no layer inside it most."""


@dataclass(frozen=True)
class StyleRule:
    """A selector, compiled, with its declarations as tinycss2 reads them, the sheet's element and its layer's rank."""

    selector: Any
    declarations: list[Any]
    element: Element
    rank: Rank


@dataclass
class _Reading:
    """What all sheets of a drawing have in common; ``layers``: by their names, in the order of their declaration.

    ``namespaces``: by the prefixes that selectors name them by.
    """

    notes: Notes
    page: tuple[float, float]
    understood: Callable[[str, str], bool]
    layers: dict[tuple[str, ...], dict[str, int]] = field(default_factory=dict)
    namespaces: dict[str, str] = field(default_factory=dict)

    def layer(self, outer: tuple[str, ...], name: str) -> tuple[str, ...]:
        """Return a layer inside another, of a name with dots or none, entered where it is new."""
        inside = outer
        for part in name.split(".") if name else [f" {len(self.layers.get(outer, {}))}"]:
            known = self.layers.setdefault(inside, {})
            known.setdefault(part, len(known))
            inside = (*inside, part)
        return inside

    def rank(self, layer: tuple[str, ...]) -> Rank:
        """Return how much a layer counts."""
        return (*(float(self.layers[layer[:at]][part]) for at, part in enumerate(layer)), math.inf)


@dataclass(frozen=True)
class _Place:
    """Where rules stand: in the sheet of an element, on a layer, inside a rule of these selectors, so deep."""

    element: Element
    layer: tuple[str, ...] = ()
    parents: str = ""
    depth: int = 0


def rules_of(
    document: Document, notes: Notes, page: tuple[float, float], understood: Callable[[str, str], bool]
) -> Iterator[StyleRule]:
    """Yield the rules of a drawing's own style sheets that apply, in their order.

    ``page``: width and height, px; ``understood``: says of a property's name and value whether they are understood.
    """
    reading = _Reading(notes, page, understood)
    for element in document.root.descendants():
        if element.name != "style":
            continue
        kind = (element.attrib.get("type") or "text/css").strip().lower()
        if kind not in {"text/css", ""} or not applies(element.attrib.get("media") or "", page):
            continue
        text = element.text + "".join(child.tail for child in element.children)
        # Old exports hide the sheet in an XML comment, which the parser has dropped already; nothing is left then.
        parsed = tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True)
        yield from _rules(parsed, _Place(element), reading)


def _rules(parsed: Sequence[Any], place: _Place, reading: _Reading) -> Iterator[StyleRule]:
    own: list[Any] = []
    for rule in parsed:
        if rule.type == "at-rule":
            yield from _at_rule(rule, place, reading)
        elif rule.type == "qualified-rule":
            yield from _qualified(rule, place, reading)
        elif rule.type == "declaration":
            own.append(rule)
    if own and place.parents:
        # Inside a rule under a condition of its own: its declarations are that rule's.
        yield from _selected(tinycss2.parse_component_value_list(place.parents), own, place, reading)


def _qualified(rule: Any, place: _Place, reading: _Reading) -> Iterator[StyleRule]:
    prelude = _inside(rule.prelude, place.parents) if place.parents else rule.prelude
    if len(rule.prelude) > LONGEST_SELECTOR or place.depth > _DEEPEST:
        _left_out(rule.prelude, place, reading)
        return
    content = tinycss2.parse_blocks_contents(rule.content, skip_comments=True, skip_whitespace=True)
    yield from _selected(prelude, [each for each in content if each.type == "declaration"], place, reading)
    nested = [each for each in content if each.type in {"qualified-rule", "at-rule"}]
    if nested:
        inner = _Place(place.element, place.layer, tinycss2.serialize(prelude).strip(), place.depth + 1)
        yield from _rules(nested, inner, reading)


def _selected(prelude: Sequence[Any], declarations: list[Any], place: _Place, reading: _Reading) -> Iterator[StyleRule]:
    try:
        selectors = cssselect2.compile_selector_list(prelude, reading.namespaces)
    except (cssselect2.SelectorError, RecursionError):
        # As in a browser, a selector that cannot be read drops its rule and nothing else.
        _left_out(prelude, place, reading)
        return
    for selector in selectors:
        yield StyleRule(selector, declarations, place.element, reading.rank(place.layer))


def _left_out(prelude: Sequence[Any], place: _Place, reading: _Reading) -> None:
    selector = tinycss2.serialize(prelude).strip()[:60]
    message = f'CSS selector "{selector}" could not be read'
    reading.notes.add("style left out", message, place.element, severity="notes")


def _inside(prelude: Sequence[Any], parents: str) -> list[Any]:
    """Return the selectors of a rule inside another, written out (CSS Nesting 1, section 3)."""
    lists: list[list[Any]] = [[]]
    for token in prelude:
        if token.type == "literal" and token.value == ",":
            lists.append([])
        else:
            lists[-1].append(token)
    written = []
    for tokens in lists:
        text = tinycss2.serialize(tokens).strip()
        if any(token.type == "literal" and token.value == "&" for token in tokens):
            parts = [f":is({parents})" if token.type == "literal" and token.value == "&" else token.serialize()
                     for token in tokens]  # fmt: skip
            written.append("".join(parts))
        else:
            written.append(f":is({parents}) {text}")
    return list(tinycss2.parse_component_value_list(", ".join(written)))


def _at_rule(rule: Any, place: _Place, reading: _Reading) -> Iterator[StyleRule]:
    if place.depth > _DEEPEST:
        return
    keyword = rule.lower_at_keyword
    prelude = tinycss2.serialize(rule.prelude).strip()
    layer = place.layer
    if rule.content is None or keyword not in {"media", "supports", "layer"}:
        _statement(rule, prelude, place, reading)
        return
    if keyword == "media" and not applies(prelude, reading.page):
        return
    if keyword == "supports" and not supported(rule.prelude, reading.understood):
        return
    if keyword == "layer":
        layer = reading.layer(layer, prelude)
    content = tinycss2.parse_blocks_contents(rule.content, skip_comments=True, skip_whitespace=True)
    yield from _rules(content, _Place(place.element, layer, place.parents, place.depth + 1), reading)


def _statement(rule: Any, prelude: str, place: _Place, reading: _Reading) -> None:
    """Take over what a rule says of others, or note that it is not followed."""
    keyword, notes = rule.lower_at_keyword, reading.notes
    if keyword == "layer":
        for name in prelude.split(","):
            reading.layer(place.layer, name.strip())
    elif keyword == "namespace":
        words = words_of(rule.prelude)
        if len(words) == 2 and words[0].type == "ident" and words[1].type in {"string", "url"}:
            reading.namespaces[words[0].value] = words[1].value
    elif keyword == "import":
        notes.add(
            "external reference",
            "CSS @import was not followed: nothing outside the file is read",
            place.element,
            remedy="Put the style sheet's rules into the drawing's own <style> element.",
        )
    elif keyword in _GROUPS:
        message = f"CSS @{keyword} was not followed: its rules are left out"
        notes.add("style left out", message, place.element, severity="notes")
    elif keyword == "font-face":
        notes.add(
            "font left out",
            "CSS @font-face was not followed: only fonts on this machine are used",
            place.element,
            remedy="Convert the text to outlines in the drawing program.",
        )
