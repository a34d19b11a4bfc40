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

LEAST_DRAWN: dict[float, dict[str, float]] = {
    0.4: {"capitals": 2.5, "digits": 2.5, "small": 2.5, "accented": 3.5, "signs": 3.5, "eth": 4.0},
    0.25: {"capitals": 2.0, "digits": 2.0, "small": 2.0, "accented": 3.0, "signs": 3.0, "eth": 4.0},
}
"""The same for letters of the bundled regular type drawn by their middle lines, one printed line wide."""

_IN_TWO_PASSES = {"capitals": 4.0, "digits": 4.0, "small": 4.0, "accented": 6.0, "signs": 6.0, "eth": 7.0}
"""Height of capitals, mm, from which on nothing even warns when middle lines are drawn 0.8 mm wide."""

_TWO_PASSES = 0.8  # mm, the width at which those were measured

_PLAIN_MARKS = {"outlines": frozenset("\u0300\u0301\u0308"), "middle lines": frozenset("\u0308")}
"""Marks that print wherever their letter does: grave, acute and dots. Drawn by middle lines the slanted ones come so
near that the ink's spread closes the gap."""

_SPREAD = 0.1  # mm, at which the sizes were measured


def least_cap_height(text: str, line_width: float, spread: float, *, drawn: str = "outlines") -> float:
    """Return the height of capitals, mm, from which on all letters of a text print in bold type.

    ``line_width``, ``spread``: of the printer and the ink, mm. Widths measured in lines and in spreads are all that
    counts, so sizes grow with whichever is larger than those measured; they are not lowered for what is finer.
    ``drawn``: as of a piece of type; by middle lines it is regular type, in strokes one printed line wide.

    >>> least_cap_height("SEEDS", 0.4, 0.1), least_cap_height("Seeds", 0.8, 0.1), least_cap_height("pěnice", 0.25, 0.1)
    (2.5, 7.0, 3.5)
    """
    measured, by = _scaled(line_width, spread)
    sizes = (LEAST_CAPITALS if drawn == "outlines" else LEAST_DRAWN)[measured]
    return by * _largest(text, sizes, _PLAIN_MARKS[drawn])


def pen_for(text: str, cap_height: float, stroke: float, line_width: float, spread: float) -> float:
    """Return how wide a text's middle lines are drawn, mm: ``stroke``, or less where small letters would fill.

    From the height at which one printed line is all that there is room for to that at which there is room for two the
    stroke grows evenly, then with the letters; it is never less than one. ``cap_height``, ``line_width`` and
    ``spread``: mm.

    >>> [pen_for("Seeds", height, 0.8, 0.4, 0.1) for height in (2.5, 3.1, 4.0)], pen_for("Pěnice", 4.0, 0.8, 0.4, 0.1)
    ([0.4, 0.56, 0.8], 0.48)
    """
    least = least_cap_height(text, line_width, spread, drawn="middle lines")
    full = _scaled(line_width, spread)[1] * _largest(text, _IN_TWO_PASSES, _PLAIN_MARKS["middle lines"])
    share = min(max((cap_height - least) / max(full - least, 1e-9), 0.0), 1.0)
    widest = line_width + share * (max(_TWO_PASSES, line_width) - line_width)
    widest *= max(1.0, cap_height / max(full, 1e-9))
    return max(line_width, min(stroke, round(widest, 3)))


def _scaled(line_width: float, spread: float) -> tuple[float, float]:
    """Return the width of line at which sizes were measured that hold for this one, mm, and by how much they grow."""
    measured = max((width for width in LEAST_CAPITALS if width <= line_width + 1e-9), default=min(LEAST_CAPITALS))
    return measured, max(1.0, line_width / measured, spread / _SPREAD)


def _largest(text: str, sizes: dict[str, float], plain: frozenset[str]) -> float:
    return max((sizes[_class_of(letter, plain)] for letter in text if not letter.isspace()), default=0.0)


def _class_of(letter: str, plain: frozenset[str]) -> str:
    if letter in "ðĿŀ":
        return "eth"
    if letter.isalpha():
        parts = unicodedata.normalize("NFD", letter)
        if not parts[0].isascii() or not plain.issuperset(parts[1:]):
            return "accented"
        return "capitals" if letter.isupper() else "small"
    if letter in "@#%*€$§" or unicodedata.category(letter) in ("Sc", "So", "No"):
        return "signs"
    return "digits"
