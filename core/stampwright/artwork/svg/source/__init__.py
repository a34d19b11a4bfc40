"""The file itself: unpacked within bounds and parsed into elements, with nothing fetched."""

from __future__ import annotations

from .document import Document, Element, parse_document
from .unpacking import unpacked

__all__ = ["Document", "Element", "parse_document", "unpacked"]
