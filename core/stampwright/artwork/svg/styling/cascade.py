"""The cascade: presentation attributes, style sheets and style attributes become one value a property."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any

import cssselect2
import tinycss2

from ..notes import Notes
from ..source.document import XML, Document, Element
from .properties import COLOUR_PROPERTIES, GEOMETRY, INHERITED, OWN, PAINTS, PRESENTATION, UNSET, Declared
from .shorthands import written_out
from .validity import read_value
from .variables import with_variables

_MEDIA = re.compile(r"(?:(?:only\s+)?(?:all|screen)|\(\s*prefers-color-scheme\s*:\s*light\s*\))(?:\s+and\s+|$)")
"""Media whose rules apply: those by which renderers show a drawing, on a screen, dark on light."""

_GROUPS = frozenset(("layer", "supports", "container", "scope"))
"""Rules that hold other rules, and are not followed."""

_OTHERS = frozenset(("not print", "not speech", "not tty", "not tv"))

LONGEST_SELECTOR = 400
"""Tokens before a rule's brackets; the selector library follows each by recursion."""

_KNOWN = frozenset(INHERITED) | frozenset(OWN) | GEOMETRY


@dataclass
class Cascade:
    """Declared values of every element, worked out when first asked for."""

    document: Document
    notes: Notes
    _by_sheet: dict[int, list[tuple[bool, Declared]]] = field(default_factory=dict)
    _ready: dict[int, Declared] = field(default_factory=dict)

    def __post_init__(self) -> None:
        rules = list(_rules_of_sheets(self.document, self.notes))
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

    def _match(self, rules: list[tuple[Any, list[tuple[bool, Declared]]]]) -> None:
        matcher: Any = cssselect2.Matcher()
        for selector, declarations in rules:
            matcher.add_selector(selector, declarations)
        stack: list[Any] = [_Wrapper.from_xml_root(self.document.root)]
        while stack:
            wrapper = stack.pop()
            found = sorted((match for match in matcher.match(wrapper)), key=lambda match: (match[0], match[1]))
            if found:
                self._by_sheet[id(wrapper.etree_element)] = [
                    entry for _, _, pseudo, payload in found if pseudo is None for entry in payload
                ]
            stack.extend(wrapper.iter_children())


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


def applies(media: str) -> bool:
    """Whether rules for a list of media apply (Media Queries 4, section 2); those that ask for a size do not.

    >>> applies("only screen, tv"), applies("screen and (prefers-color-scheme: light)"), applies("not screen")
    (True, True, False)
    """
    queries = [query.strip().lower() for query in media.split(",")]
    return any(not query or query in _OTHERS or not _MEDIA.sub("", query) for query in queries)


def _rules_of_sheets(document: Document, notes: Notes) -> Any:
    for element in document.root.descendants():
        if element.name != "style":
            continue
        kind = (element.attrib.get("type") or "text/css").strip().lower()
        if kind not in {"text/css", ""} or not applies(element.attrib.get("media") or ""):
            continue
        text = element.text + "".join(child.tail for child in element.children)
        # Old exports hide the sheet in an XML comment, which the parser has dropped already; nothing is left then.
        yield from _rules(tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True), element, notes)


def _rules(parsed: list[Any], element: Element, notes: Notes) -> Any:
    for rule in parsed:
        if rule.type == "at-rule":
            yield from _at_rule(rule, element, notes)
        elif rule.type == "qualified-rule":
            try:
                if len(rule.prelude) > LONGEST_SELECTOR:
                    raise cssselect2.SelectorError
                selectors = cssselect2.compile_selector_list(rule.prelude)
            except (cssselect2.SelectorError, RecursionError):
                # As in a browser, a selector that cannot be read drops its rule and nothing else.
                selector = tinycss2.serialize(rule.prelude).strip()[:60]
                notes.add("style left out", f'CSS selector "{selector}" could not be read', element, severity="notes")
                continue
            declarations = _declarations(
                tinycss2.parse_declaration_list(rule.content, skip_comments=True, skip_whitespace=True), element, notes
            )
            for selector in selectors:
                yield selector, declarations


def _at_rule(rule: Any, element: Element, notes: Notes) -> Any:
    keyword = rule.lower_at_keyword
    if keyword == "media" and rule.content is not None:
        if applies(tinycss2.serialize(rule.prelude)):
            yield from _rules(
                tinycss2.parse_rule_list(rule.content, skip_comments=True, skip_whitespace=True), element, notes
            )
    elif keyword == "import":
        notes.add(
            "external reference",
            "CSS @import was not followed: nothing outside the file is read",
            element,
            remedy="Put the style sheet's rules into the drawing's own <style> element.",
        )
    elif keyword in _GROUPS:
        message = f"CSS @{keyword} was not followed: its rules are left out"
        notes.add("style left out", message, element, severity="notes")
    elif keyword == "font-face":
        notes.add(
            "font left out",
            "CSS @font-face was not followed: only fonts on this machine are used",
            element,
            remedy="Convert the text to outlines in the drawing program.",
        )


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
        several = written_out(name, value)
        if several is not None:
            entries.append((declaration.important, several))
        elif name in _KNOWN:
            given = [(declaration.important, name, value)]
            entries += [(important, {name: value}) for important, name, value in _readable(given, element, notes)]
        elif name.startswith("--"):
            entries.append((declaration.important, {declaration.name: value}))
    return entries
