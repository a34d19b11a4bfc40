"""Layers of a PDF page, which PDF calls optional content: which of them a viewer hides."""

from __future__ import annotations

from typing import Any

import pypdfium2.raw as pdfium

from .objects import layer_of, objects_on

_SHOWN_AT = 400
"""Pixels of the longer side at which layers are rendered to see whether they are shown."""

_MOST = 100
"""Layers that are looked at."""


def hidden_layers(document: Any, page: Any, index: int) -> frozenset[str]:
    """Return the names of the layers on a page that do not show when it is rendered.

    The library tells of no layer's state, but renders by it: each is rendered alone. ``index``: the page's, from 0.
    """
    names = list(dict.fromkeys(filter(None, (layer_of(item) for item in objects_on(page)))))
    return frozenset(name for name in names[:_MOST] if not _shows(document, index, name))


def _shows(document: Any, index: int, name: str) -> bool:
    alone = document[index]
    try:
        for item in objects_on(alone):
            if layer_of(item) != name and pdfium.FPDFPage_RemoveObject(alone, item):
                pdfium.FPDFPageObj_Destroy(item)
        scale = _SHOWN_AT / max(alone.get_size())
        # On a clear sheet, so that white shows, too.
        rendered = alone.render(scale=scale, fill_color=(0, 0, 0, 0), force_bitmap_format=pdfium.FPDFBitmap_BGRA)
        return bool(rendered.to_numpy()[..., 3].any())
    finally:
        alone.close()
