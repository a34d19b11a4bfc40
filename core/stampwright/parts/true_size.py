"""What a printer makes larger or smaller than its file has it: put right in the file, and reckoned back from it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..job.sections.printing import PrinterSection
from ..solids.solid import Solid


def for_printer(solid: Solid, printer: PrinterSection) -> Solid:
    """Return a die as its file must have it, so that it comes true to size off a printer; the solid as printed, mm.

    Heights are whole layers and stay as they are. A printer that prints true changes nothing.
    """
    across, up = printer.grows
    return _stretched(solid, 1.0 / across, 1.0 / up)


def off_printer(solid: Solid, printer: PrinterSection) -> Solid:
    """Return a die as it comes off a printer from what its file has: the way back of :func:`for_printer`."""
    return _stretched(solid, *printer.grows)


def _stretched(solid: Solid, across: float, up: float) -> Solid:
    if across == up == 1.0:
        return solid
    return replace(solid, vertices=solid.vertices * np.array([across, up, 1.0]))
