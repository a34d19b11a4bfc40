"""Layers of a PDF page, which PDF calls optional content: which of them a viewer hides."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pypdfium2.raw as pdfium

from .objects import DEEPEST, address_of, layers_of, objects_in, objects_on

_SHOWN_AT = 400
"""Pixels of the longer side at which layers are rendered to see whether they are shown."""

_MOST = 100
"""Sets of layers that are looked at."""

_FORM_ON_LAYER = re.compile(rb"/OC[\s/<\d]")
"""How a form says in its dictionary that it lies on a layer; the library tells nothing of it."""

_Layers = tuple[int | str, ...]


@dataclass(frozen=True)
class _Leaf:
    """Something that is drawn, and the addresses of the layers' marks, and of the forms, that it lies in."""

    item: Any
    inside: _Layers
    names: _Layers


def hidden_on(page: Any, data: bytes) -> frozenset[int]:
    """Return the addresses of those marks of layers, and of those forms, on a page that do not show when rendered.

    The library tells of no layer's state, nor of those that hang together by a rule (ISO 32000-1, section 8.11.2.2),
    but renders by it: what lies on the same layers is rendered alone. ``data``: the file.
    """
    forms = _FORM_ON_LAYER.search(data) is not None
    leaves = [leaf for item in objects_on(page) for leaf in _leaves(item, (), (), forms=forms, depth=0)]
    groups = _grouped(leaves)
    if not groups:
        return frozenset()
    for leaf in leaves:
        pdfium.FPDFPageObj_SetIsActive(leaf.item, 0)
    try:
        shown = [_shows(page, group) for group in groups]
    finally:
        for leaf in leaves:
            pdfium.FPDFPageObj_SetIsActive(leaf.item, 1)
    # What shows anywhere is not hidden, but something round it or inside it.
    seen = _within(group for group, shows in zip(groups, shown, strict=True) if shows)
    return _within(group for group, shows in zip(groups, shown, strict=True) if not shows) - seen


def _leaves(item: Any, inside: _Layers, names: _Layers, *, forms: bool, depth: int) -> Iterator[_Leaf]:
    layers = layers_of(item)
    inside += tuple(layers)
    names += tuple(layers.values())
    if pdfium.FPDFPageObj_GetType(item) != pdfium.FPDF_PAGEOBJ_FORM:
        yield _Leaf(item, inside, names)
    elif depth < DEEPEST:
        inside += (address_of(item),) * forms
        for each in objects_in(item):
            yield from _leaves(each, inside, names, forms=forms, depth=depth + 1)


def _grouped(leaves: list[_Leaf]) -> list[list[_Leaf]]:
    """Return what lies on the same layers together; by their names where a page marks each thing anew."""
    by_mark: dict[_Layers, list[_Leaf]] = {}
    by_name: dict[_Layers, list[_Leaf]] = {}
    for leaf in leaves:
        if leaf.inside:
            by_mark.setdefault(leaf.inside, []).append(leaf)
            by_name.setdefault(leaf.names, []).append(leaf)
    return list((by_mark if len(by_mark) <= _MOST else by_name).values())[:_MOST]


def _shows(page: Any, group: list[_Leaf]) -> bool:
    for leaf in group:
        pdfium.FPDFPageObj_SetIsActive(leaf.item, 1)
    # On a clear sheet, so that white shows, too.
    scale = _SHOWN_AT / max(page.get_size())
    rendered = page.render(scale=scale, fill_color=(0, 0, 0, 0), force_bitmap_format=pdfium.FPDFBitmap_BGRA)
    for leaf in group:
        pdfium.FPDFPageObj_SetIsActive(leaf.item, 0)
    return bool(rendered.to_numpy()[..., 3].any())


def _within(groups: Iterator[list[_Leaf]]) -> frozenset[int]:
    return frozenset(at for group in groups for leaf in group for at in leaf.inside if isinstance(at, int))
