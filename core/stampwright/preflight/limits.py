"""The limits that a job sets to its artwork, as lengths on paper."""

from __future__ import annotations

from dataclasses import dataclass

from ..job import Job


@dataclass(frozen=True, kw_only=True)
class Limits:
    """Lengths in mm.

    ``line_blocks`` and ``line_warns``: widths of ink. ``gap``: paper that the spread from both sides closes.
    ``counter``: diameter of a disc that a counter must hold; at twice the gap a round counter loses three quarters of
    its area to the spread. ``speck``: diameter of an island's enclosing circle. ``extrusion``: width of one pass.
    """

    extrusion: float
    line_blocks: float
    line_warns: float
    gap: float
    counter: float
    speck: float

    @staticmethod
    def of(job: Job) -> Limits:
        """Return the limits of a job."""
        extrusion = job.printer.line_width
        return Limits(
            extrusion=extrusion,
            line_blocks=job.preflight.block_lines * extrusion,
            line_warns=job.preflight.warn_lines * extrusion,
            gap=2 * job.ink.spread,
            counter=4 * job.ink.spread,
            speck=job.preflight.speck,
        )
