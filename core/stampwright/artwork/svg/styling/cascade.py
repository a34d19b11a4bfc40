"""The cascade: presentation attributes, style sheets and style attributes become one value a property."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

import cssselect2
import tinycss2

from ..notes import Notes
from ..source.document import XML, Document, Element
from .properties import COLOUR_PROPERTIES, GEOMETRY, INHERITED, OWN, PAINTS, PRESENTATION, UNSET, Declared
from .sheets.rules import Rank, StyleRule, rules_of
from .shorthands import put_off, written_out
from .validity import read_value
from .variables import with_variables

_KNOWN = frozenset(INHERITED) | frozenset(OWN) | GEOMETRY


@dataclass
class Cascade:
    """Declared values of every element, worked out when first asked for; ``page``: width and height, px."""

    document: Document
    notes: Notes
    page: tuple[float, float]
    _by_sheet: dict[int, list[tuple[bool, Declared]]] = field(default_factory=dict)
    _ready: dict[int, Declared] = field(default_factory=dict)

    def __post_init__(self) -> None:
        rules = list(rules_of(self.document, self.notes, self.page, _understood))
        if rules:
            self._match(rules)

    def declared(self, element: Element) -> Declared:
        """Return the element's declared values by property, the winner of each (CSS Cascade 4, section 6)."""
        ready = self._ready.get(id(element))
        if ready is None:
            ready = self._ready[id(element)] = self._resolve(element)
        return ready

    def declared_in(self, element: Element, style: Declared) -> Declared:
        """Return the element's declared values, custom properties taken from ``style``, that of its place."""
        return with_variables(self.declared(element), style)

    def geometry(self, element: Element, name: str, style: Declared) -> str | None:
        """Return a geometry property: from style sheets where they set it, else the attribute.

        ``style``: of the place where it is drawn, for custom properties.
        """
        declared = self.declared_in(element, style).get(name)
        return declared if declared is not None else element.attrib.get(name)

    def _resolve(self, element: Element) -> Declared:
        given = [(False, name, text) for name, text in element.attrib.items() if name in PRESENTATION]
        values = {name: value for _, name, value in _readable(given, element, self.notes)}
        if "font-variant" in element.attrib:
            values |= written_out("font-variant", element.attrib["font-variant"]) or {}
        space = element.attrib.get(XML + "space")
        if space is not None:
            values["xml:space"] = space
        weak_and_strong = self._by_sheet.get(id(element), [])
        style = element.attrib.get("style")
        own = _declarations(tinycss2.parse_declaration_list(style), element, self.notes) if style else []
        for strong in (False, True):
            for important, declared in weak_and_strong:
                if important == strong:
                    values.update(declared)
            for important, declared in own:
                if important == strong:
                    values.update(declared)
        return values

    def _match(self, rules: list[StyleRule]) -> None:
        matcher: Any = cssselect2.Matcher()
        read: dict[int, list[tuple[bool, Declared]]] = {}
        for rule in rules:
            key = id(rule.declarations)
            if key not in read:
                read[key] = _declarations(rule.declarations, rule.element, self.notes)
            matcher.add_selector(rule.selector, (rule.rank, read[key]))
        stack: list[Any] = [_Wrapper.from_xml_root(self.document.root)]
        while stack:
            wrapper = stack.pop()
            found = [(rank, *match[:2], entries) for *match, pseudo, (rank, entries) in matcher.match(wrapper)
                     if pseudo is None]  # fmt: skip
            if found:
                self._by_sheet[id(wrapper.etree_element)] = [
                    *_in_order(found, strong=False),
                    *_in_order(found, strong=True),
                ]
            stack.extend(wrapper.iter_children())


_Found = tuple[Rank, tuple[int, int, int], int, list[tuple[bool, Declared]]]
"""A rule that matches: its layer's rank, how specific its selector is, its place in the sheets, what it declares."""


def _in_order(found: list[_Found], *, strong: bool) -> Iterator[tuple[bool, Declared]]:
    """Yield what rules declare, the winner last; of what is important, the layers count the other way round."""

    def weight(each: _Found) -> tuple[Rank, tuple[int, int, int], int]:
        rank, specificity, order, _ = each
        return tuple(-part for part in rank) if strong else rank, specificity, order

    for *_, entries in sorted(found, key=weight):
        yield from (entry for entry in entries if entry[0] == strong)


class _Wrapper(cssselect2.ElementWrapper):  # type: ignore[misc] # the library is not typed
    """An element for selector matching, at any depth: the library's own walks to the root are recursive."""

    @property
    def ancestors(self) -> tuple[Any, ...]:
        chain, wrapper = [], self.parent
        while wrapper is not None:
            chain.append(wrapper)
            wrapper = wrapper.parent
        return tuple(reversed(chain))

    @property
    def previous_siblings(self) -> tuple[Any, ...]:
        chain, wrapper = [], self.previous
        while wrapper is not None:
            chain.append(wrapper)
            wrapper = wrapper.previous
        return tuple(reversed(chain))


def inherited_style(parent: Declared, declared: Declared) -> Declared:
    """Return the values that an element hands to its children: the parent's, with the element's own put in."""
    if not declared:
        return parent
    style = dict(parent)
    style.update({name: value.strip() for name, value in declared.items() if name.startswith("--")})
    for name, value in with_variables(declared, style).items():
        if name in INHERITED or name == "xml:space":
            keyword = value.strip().lower()
            if keyword in {"inherit", *UNSET}:
                continue
            style[name] = INHERITED.get(name, "") if keyword == "initial" else value.strip()
    return style


def own_value(declared: Declared, parent: Declared, name: str) -> str:
    """Return a property that is not inherited; ``parent`` holds the parent's declared values, for ``inherit``."""
    value = declared.get(name)
    if value is None:
        return OWN[name]
    keyword = value.strip().lower()
    if keyword == "inherit":
        return parent.get(name, OWN[name]).strip()
    if keyword in {"initial", *UNSET}:
        return OWN[name]
    return value.strip()


def _understood(name: str, value: str) -> bool:
    """Whether a declaration is one that is followed."""
    several = written_out(name, value)
    return bool(several) or name.startswith("--") or (name in _KNOWN and read_value(name, value) is not None)


def _readable(
    given: Iterable[tuple[bool, str, str]], element: Element, notes: Notes
) -> Iterator[tuple[bool, str, str]]:
    """Yield importance, name and value of what a property can be; a paint or colour that it cannot be is noted."""
    for important, name, text in given:
        value = read_value(name, text)
        if value is not None:
            yield important, name, value
        elif name in PAINTS | COLOUR_PROPERTIES:
            notes.add("paint unreadable", f'{name} "{text[:40]}" could not be read and was left out', element)


def _declarations(parsed: list[Any], element: Element, notes: Notes) -> list[tuple[bool, Declared]]:
    entries: list[tuple[bool, Declared]] = []
    for declaration in parsed:
        if declaration.type != "declaration":
            continue
        name = declaration.lower_name
        value = tinycss2.serialize(declaration.value).strip()
        several = put_off(name, value) if "var(" in value.lower() else written_out(name, value)
        if several is not None:
            entries.append((declaration.important, several))
        elif name in _KNOWN:
            given = [(declaration.important, name, value)]
            entries += [(important, {name: value}) for important, name, value in _readable(given, element, notes)]
        elif name.startswith("--"):
            entries.append((declaration.important, {declaration.name: value}))
    return entries
