"""PDF drawings: a page's outlines taken over, or the page rendered and traced where it holds more than outlines."""

from __future__ import annotations

from .reader import is_pdf, read_pdf

__all__ = ["is_pdf", "read_pdf"]
