"""Presets: settings that go together, as data, for material, printer and handle; Stampwright's and the user's own."""

from __future__ import annotations

from .shelf import SORTS, drop, keep, own_presets, presets_of

__all__ = ["SORTS", "drop", "keep", "own_presets", "presets_of"]
