"""Numbers in the text of drawings, as SVG writes them."""

from __future__ import annotations

import re

NUMBER = r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?"
"""Pattern of one number (SVG 2, section 4.2)."""

_NUMBERS = re.compile(NUMBER)


def numbers(text: str | None) -> list[float]:
    """Return all numbers of a list separated by spaces or commas.

    >>> numbers("1,-2 .5e1")
    [1.0, -2.0, 5.0]
    """
    return [float(found) for found in _NUMBERS.findall(text or "")]
