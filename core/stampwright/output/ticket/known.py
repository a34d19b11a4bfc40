"""Which figures behind a stamp are assumed, and which were measured on the person's own printer, ink and paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from ...job import Job
from ...job.labels import SETTINGS, label_of, unit_of
from ...job.measured import measured_in

BEHIND_PRINTS = {
    "ink.spread": "ink spread",
    "ink.solid_from": "solid ink from",
    "ink.film": "ink film",
    "preflight.block_lines": "least line",
    "press.bow": "bow of the face",
    "press.bedding_stiffness": "stiffness of paper and bedding",
    "backing.clearance": "clearance of the seat",
    "printer.size_across": "size across",
    "printer.size_up": "size up",
}
"""Settings that decide a real print, and that no one knows before they were measured, in words."""

ONLY_MEASURED = {"preflight.least_gap": "least gap"}
"""Such as nothing is assumed of: they follow from others until they are measured."""

UNITS_OF_WORDS = {"preflight.block_lines": "line widths"}
"""Units of multiples, on paper."""


@dataclass(frozen=True)
class KnownFigure:
    """A figure behind a stamp: its value and likely range, ``unit``; ``prints``: how many it was measured on, or 0."""

    setting: str
    value: float
    low: float
    high: float
    prints: int = 0
    source: str = ""

    @property
    def measured(self) -> bool:
        """Whether it was measured, and not assumed."""
        return self.prints > 0

    def in_words(self) -> str:
        """Say the figure, its range and where it is from."""
        unit = f" {UNITS_OF_WORDS.get(self.setting) or unit_of(self.setting)}".rstrip()
        # A size is known to hundredths of a percent, a share to a percent.
        digits = 5 if self.setting.startswith("printer.size_") else 3
        prints = f" on {self.prints} prints" if self.prints > 1 else ""
        origin = f"measured{prints}" if self.measured else "assumed"
        ends = "" if self.low == self.high else f", {self.low:.{digits}g} to {self.high:.{digits}g}"
        name = (BEHIND_PRINTS | ONLY_MEASURED).get(self.setting) or label_of(self.setting).lower()
        return f"{name} {self.value:.{digits}g}{unit} ({origin}{ends})"

    def as_record(self) -> dict[str, Any]:
        """Return plain data for a report."""
        return {
            "setting": self.setting,
            "value": self.value,
            "range": [self.low, self.high],
            "measured": self.measured,
            "prints": self.prints,
            "source": self.source,
        }


def figures_behind(job: Job) -> Iterator[KnownFigure]:
    """Yield the figures behind the prints of a job: measured ones with their own range, assumed ones with the usual."""
    measured = measured_in(job)
    for path in dict.fromkeys((*BEHIND_PRINTS, *measured)):
        section, _, name = path.partition(".")
        value = float(getattr(getattr(job, section), name))
        if path in measured:
            known = measured[path]
            yield KnownFigure(path, value, known.low, known.high, max(known.prints, 1), known.source)
        else:
            low, high = SETTINGS[path].normal or (value, value)
            yield KnownFigure(path, value, min(low, value), max(high, value))
