"""Sizes of type: how high capitals must be so that every letter of a text prints and reads as drawn.

Every letter of the bundled bold type was measured, to half a millimetre: no finding blocks from these sizes on.
"""

from __future__ import annotations

import unicodedata

LEAST_CAPITALS: dict[float, dict[str, float]] = {
    0.4: {"capitals": 2.5, "digits": 3.0, "small": 3.5, "accented": 4.0, "signs": 4.5, "eth": 6.0},
    0.25: {"capitals": 2.0, "digits": 2.0, "small": 2.0, "accented": 3.5, "signs": 3.5, "eth": 6.0},
}
"""Height of capitals, mm, by the width of the printed line, mm, and by what letters there are; ink spreads 0.1 mm."""

_PLAIN_MARKS = frozenset("\u0300\u0301\u0308")
"""Grave, acute and dots print wherever their letter does."""

_SPREAD = 0.1  # mm, at which the sizes were measured


def least_cap_height(text: str, line_width: float, spread: float) -> float:
    """Return the height of capitals, mm, from which on all letters of a text print in bold type.

    ``line_width``, ``spread``: of the printer and the ink, mm. Widths measured in lines and in spreads are all that
    counts, so sizes grow with whichever is larger than those measured; they are not lowered for what is finer.

    >>> least_cap_height("SEEDS", 0.4, 0.1), least_cap_height("Seeds", 0.8, 0.1), least_cap_height("pěnice", 0.25, 0.1)
    (2.5, 7.0, 3.5)
    """
    measured = max((width for width in LEAST_CAPITALS if width <= line_width + 1e-9), default=min(LEAST_CAPITALS))
    sizes = LEAST_CAPITALS[measured]
    largest = max((sizes[_class_of(letter)] for letter in text if not letter.isspace()), default=0.0)
    return largest * max(1.0, line_width / measured, spread / _SPREAD)


def _class_of(letter: str) -> str:
    if letter in "ðĿŀ":
        return "eth"
    if letter.isalpha():
        parts = unicodedata.normalize("NFD", letter)
        if not parts[0].isascii() or not _PLAIN_MARKS.issuperset(parts[1:]):
            return "accented"
        return "capitals" if letter.isupper() else "small"
    if letter in "@#%*€$§" or unicodedata.category(letter) in ("Sc", "So", "No"):
        return "signs"
    return "digits"
