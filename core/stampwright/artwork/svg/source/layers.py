"""Layers: groups of a drawing by the names that drawing programs give them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager

from ....errors import ArtworkError
from .document import Document, Element

_DEFINITIONS = frozenset(
    ("defs", "style", "symbol", "linearGradient", "radialGradient", "pattern", "clipPath", "mask", "marker", "filter")
)
MOST_LAYERS_NAMED = 12


def keep_layers(
    document: Document, wanted: Sequence[str], *, setting: str = "tracing.ink_layers"
) -> dict[str, list[Element]]:
    """Leave in a drawing only the groups of these names, as they are in place, and return what went, by its name.

    A name is a group's id, or the label that a drawing program gives a layer; upper and lower case are alike.
    ``setting``: what they were named by. Raises
    :class:`~stampwright.errors.ArtworkError` when the drawing has no group of a name.
    """
    groups = [element for element in document.root.descendants() if element.name == "g"]
    missing = [name for name in wanted if not any(_is_called(group, name) for group in groups)]
    if missing:
        there = list(dict.fromkeys(name for group in groups for name in list(_names_of(group))[:1]))
        commas = any("," in each for each in there)
        between = "; " if commas else ", "
        known = f"there are: {between.join(there[:MOST_LAYERS_NAMED])}" if there else "none of its groups has a name"
        known += '. A name that has a comma is given as ["name, with it"]' if commas else ""
        raise ArtworkError(f"{setting}: the drawing has no layer {missing[0]!r}; {known}")
    chosen = [group for group in groups if any(_is_called(group, name) for name in wanted)]
    kept = {id(element) for group in chosen for element in group.descendants()}
    above: dict[int, Element] = {}
    for group in chosen:
        holder = group.parent
        while holder is not None and id(holder) not in above:
            above[id(holder)] = holder
            holder = holder.parent
    gone: dict[str, list[Element]] = {}
    for holder in above.values():
        if id(holder) in kept:
            continue
        stay = [
            child
            for child in holder.children
            if id(child) in kept or id(child) in above or child.name in _DEFINITIONS or child.name == "title"
        ]
        for child in holder.children:
            if child not in stay and child.name:
                gone.setdefault(_told(child), []).append(child)
        holder.children = stay
    return gone


_HIDING = (
    ("display", frozenset(("none",))),
    ("visibility", frozenset(("hidden", "collapse"))),
    ("opacity", frozenset(("0", "0.0", "0%"))),
)

_SHOWN = {"display": "inline", "visibility": "visible", "opacity": "1"}


Declares = Callable[[Element], Mapping[str, str]]
"""What is declared of an element, by attributes, style and style sheets."""


def show_hidden(document: Document, declares: Declares) -> dict[str, list[Element]]:
    """Show the named groups that a drawing hides by what it declares of themselves, and return them by their name."""
    shown: dict[str, list[Element]] = {}
    for group in document.root.descendants():
        if group.name == "g" and next(_names_of(group), None) is not None and _show(group, declares):
            shown.setdefault(_told(group), []).append(group)
    return shown


def show_named(document: Document, wanted: Sequence[str], declares: Declares) -> list[str]:
    """Show the groups of these names, and those that hold them, where a drawing hides them; returns which it hid."""
    hid: list[str] = []
    for group in document.root.descendants():
        if group.name != "g" or not any(_is_called(group, name) for name in wanted):
            continue
        holder: Element | None = group
        while holder is not None:
            if _show(holder, declares):
                hid.append(_told(holder))
            holder = holder.parent
    return list(dict.fromkeys(hid))


def _show(element: Element, declares: Declares) -> bool:
    """Show an element that what is declared of it hides; whether that did."""
    declared = declares(element)
    hiding = [name for name, values in _HIDING if declared.get(name, "").strip().lower() in values]
    if hiding:
        # Said last and as important, no class hides it any more.
        shown = "".join(f";{name}:{_SHOWN[name]}!important" for name in hiding)
        element.attrib["style"] = element.attrib.get("style", "").strip().rstrip(";") + shown
    return bool(hiding)


@contextmanager
def alone(element: Element) -> Iterator[None]:
    """Have a drawing hold for a while nothing but an element that was taken from it, in its place, and definitions."""
    before, held, holder = [], element, element.parent
    while holder is not None:
        before.append((holder, holder.children))
        holder.children = [*(child for child in holder.children if child.name in _DEFINITIONS), held]
        held, holder = holder, holder.parent
    try:
        yield
    finally:
        for holder, children in before:
            holder.children = children


def keep_after(document: Document, name: str) -> None:
    """Leave in a drawing only what it paints after the groups of a name, which it has."""
    last = [group for group in document.root.descendants() if group.name == "g" and _is_called(group, name)][-1]
    element: Element = last
    while element.parent is not None:
        holder = element.parent
        at = next(at for at, child in enumerate(holder.children) if child is element)
        before, after = holder.children[: at + (element is last)], holder.children[at + (element is last) :]
        holder.children = [*(child for child in before if child.name in _DEFINITIONS), *after]
        element = holder


def _names_of(group: Element) -> Iterator[str]:
    for name, value in group.attrib.items():
        if name.rpartition("}")[2] in ("label", "data-name") and value.strip():
            yield value.strip()
    if group.attrib.get("id"):
        yield group.attrib["id"]


def _is_called(group: Element, name: str) -> bool:
    return any(each.casefold() == name.strip().casefold() for each in _names_of(group))


def _told(element: Element) -> str:
    return next(_names_of(element), f"<{element.name}>")
