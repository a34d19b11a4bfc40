"""Filters: what an element paints, changed pixel by pixel before it is laid on the page (Filter Effects 1)."""

from __future__ import annotations

from .effects import Effect, effect_of

__all__ = ["Effect", "effect_of"]
