"""The limits that a job sets to its artwork, as lengths on paper."""

from __future__ import annotations

from dataclasses import dataclass

from ..job.sections.preflight import PreflightSection
from ..job.sections.pressing import InkSection
from ..job.sections.printing import PrinterSection

EYE = 0.087
"""What an eye tells apart at reading distance, mm: one minute of arc, the gap of the Landolt ring that visual acuity
1.0 is defined by (ISO 8596), seen from 300 mm. Gaps and bridges narrower than this are nothing to a reader."""


@dataclass(frozen=True, kw_only=True)
class PrintLimits:
    """Lengths in mm.

    ``line_blocks`` and ``line_warns``: widths of ink. ``spread``: of the ink, past every edge. ``gap``: paper that
    closes: by the spread from both sides, or sooner, where that was measured. ``counter``: diameter of a disc that a
    counter must hold; at twice the gap a round counter loses three quarters of its area to the spread. ``speck``:
    diameter of an island's enclosing circle. ``extrusion``: width of one pass.
    """

    extrusion: float
    line_blocks: float
    line_warns: float
    spread: float
    gap: float
    counter: float
    speck: float

    @staticmethod
    def of(preflight: PreflightSection, ink: InkSection, printer: PrinterSection) -> PrintLimits:
        """Return the limits that follow from these sections of a job."""
        extrusion, gap = printer.line_width, max(2 * ink.spread, preflight.least_gap)
        return PrintLimits(
            extrusion=extrusion,
            line_blocks=preflight.block_lines * extrusion,
            line_warns=preflight.warn_lines * extrusion,
            spread=ink.spread,
            gap=gap,
            counter=2 * gap,
            speck=preflight.speck or 2 * extrusion,
        )
