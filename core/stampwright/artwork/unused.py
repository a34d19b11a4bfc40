"""Settings that are set and change nothing, because another says otherwise or the artwork is of another kind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from typing import Literal

from ..findings import Finding
from ..job.sections.tracing import TracingSection

NOT_USED = "setting not used"

Kind = Literal["bitmap", "svg", "pdf"]

_NEEDS = {
    "ink_colours": ("ink_by", "colours"),
    "ink_darker_than": ("ink_by", "darkness"),
    "brightness": ("threshold", "fixed"),
    "window": ("threshold", "local"),
    "darker_by": ("threshold", "local"),
}
"""Settings that count only where another has this value."""

_FOR: dict[str, tuple[str, tuple[Kind, ...]]] = {
    "ink_layers": ("drawings that have layers", ("svg", "pdf")),
    "dpi": ("bitmaps", ("bitmap",)),
    "width": ("bitmaps; a drawing's size is set by layout.size_by", ("bitmap",)),
    "page": ("PDF files", ("pdf",)),
    "deskew": ("scans; a drawing is turned by layout.turn", ("bitmap", "pdf")),
    "negative": ("scans", ("bitmap", "pdf")),
    "threshold": ("scans; of drawings tracing.ink_by tells what is ink", ("bitmap", "pdf")),
}
"""What settings are for."""


def unused_settings(tracing: TracingSection, kind: Kind) -> Iterator[Finding]:
    """Yield a finding for each setting that is not at its default and changes nothing in artwork of a kind."""
    at_first = TracingSection()
    for each in fields(tracing):
        name = each.name
        if getattr(tracing, name) == getattr(at_first, name):
            continue
        what, kinds = _FOR.get(name, ("", ()))
        if what and kind not in kinds:
            yield not_used(f"tracing.{name} is set and not used: it is for {what}")
        elif name in _NEEDS and getattr(tracing, _NEEDS[name][0]) != _NEEDS[name][1]:
            other, value = _NEEDS[name]
            given = getattr(tracing, other)
            yield not_used(f"tracing.{name} is set and not used: it counts with tracing.{other}={value}, not {given}")


def not_used(message: str, remedy: str = "Leave it out, or look whether the impression is as meant.") -> Finding:
    """Return the finding that a setting is not used."""
    return Finding(kind=NOT_USED, severity="warns", stage="artwork", message=message, remedy=remedy)
