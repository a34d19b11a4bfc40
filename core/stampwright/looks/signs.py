"""The sign of each severity: one shape on paper, in panels and over the view, so that no colour is needed to tell it.

An octagon blocks, a triangle warns, a circle notes.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..findings import Severity

Point = tuple[float, float]

_FIRST_CORNER = {"blocks": (8, math.pi / 8.0), "warns": (3, math.pi / 2.0), "notes": (32, 0.0)}
"""How many corners each sign has, and at which angle its first is; 32 make a circle."""

_SIZE = {"blocks": 1.0, "warns": 1.2, "notes": 0.9}
"""Radius round the corners, so that the three cover about as much."""

WORDS: dict[Severity, str] = {"blocks": "blocks", "warns": "warns", "notes": "note"}
"""What each sign says."""

KEY = "Octagon: blocks. Triangle: warns. Circle: note."
"""The three signs in words, for a page that shows them."""


def sign_corners(severity: Severity) -> list[Point]:
    """Return the corners of a severity's sign, counter-clockwise, x right and y up, about 1 from its middle.

    >>> len(sign_corners("blocks")), [round(part, 6) for part in sign_corners("warns")[0]]
    (8, [0.0, 1.2])
    """
    count, first = _FIRST_CORNER[severity]
    size = _SIZE[severity]
    angles = [first + 2.0 * math.pi * corner / count for corner in range(count)]
    return [(size * math.cos(angle), size * math.sin(angle)) for angle in angles]
