"""Presets: settings that go together, as data, for material, printer and handle; Stampwright's and the user's own."""

from __future__ import annotations

from .measured import drop_measured, keep_measured, own_measured
from .shelf import SORTS, drop, keep, own_presets, presets_of

__all__ = [
    "SORTS",
    "drop",
    "drop_measured",
    "keep",
    "keep_measured",
    "own_measured",
    "own_presets",
    "presets_of",
]
