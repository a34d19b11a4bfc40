"""Numbers as people type them: commas between thousands, and a unit behind the value."""

from __future__ import annotations

import math
import re

from ...errors import JobError

_INCH = 25.4  # mm, exactly, by the international yard and pound agreement of 1959
_POINT = _INCH / 72.0  # mm; the point of desktop publishing

_LENGTHS = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "µm": 0.001, "um": 0.001, "in": _INCH, '"': _INCH, "pt": _POINT}
_ANGLES = {"deg": 1.0, "°": 1.0, "rad": 180.0 / math.pi, "turn": 360.0}
_DENSITIES = {"dpi": 1.0, "ppi": 1.0, "1/in": 1.0, "1/mm": _INCH, "1/cm": _INCH / 10.0}

UNITS: dict[str, dict[str, float]] = {
    "mm": _LENGTHS,
    "deg": _ANGLES,
    "": {"%": 0.01},
    "%": {"%": 1.0},
    "N": {"N": 1.0, "kN": 1000.0, "kgf": 9.80665},
    "MPa": {"MPa": 1.0, "kPa": 0.001, "GPa": 1000.0, "Pa": 1e-6, "N/mm²": 1.0, "bar": 0.1, "psi": 0.00689476},
    "mm/s": {"mm/s": 1.0, "mm/min": 1.0 / 60.0, "cm/s": 10.0, "m/s": 1000.0},
    "1/in": _DENSITIES,
    "dpi": _DENSITIES,
    "1/mm": {"1/mm": 1.0, "1/cm": 0.1, "1/in": 1.0 / _INCH, "dpi": 1.0 / _INCH},
    "g": {"g": 1.0, "kg": 1000.0, "oz": 28.349523125},
}
"""For each unit of a setting, what may stand behind a value, and how many of the setting's unit it is."""

_SPELT_OUT = {
    "inch": "in", "inches": "in", "''": '"', "”": '"', "″": '"', "μm": "µm", "micron": "µm", "microns": "µm",
    "degree": "deg", "degrees": "deg", "percent": "%", "newton": "N", "newtons": "N", "points": "pt", "point": "pt",
}  # fmt: skip

_TYPED = re.compile(
    r"([+-]?(?:\d{1,3}(?:,\d{3})+|\d+(?:_\d+)*)?(?:\.\d*)?(?:[eE][+-]?\d+)?) *((?:[^\d\s.,+-].*)?)", re.DOTALL
)
_MOST_DIGITS = 300  # more are beyond any limit, and slow to read as one whole number


def read_number(typed: str, unit: str) -> float | int:
    """Return a number as typed, in ``unit``, with or without a unit of the same kind behind it.

    Shares, which have no unit, take a percentage. Raises :class:`JobError` when it is no number or the unit is of
    another kind; the message says which units do.

    >>> read_number("6 cm", "mm"), read_number("2 in", "mm"), read_number("50%", "")
    (60.0, 50.8, 0.5)
    """
    found = _TYPED.fullmatch(typed.strip().replace("−", "-").replace("\N{NO-BREAK SPACE}", " "))
    if found is None or not any(letter.isdigit() for letter in found[1]):
        raise JobError("is no number")
    digits, behind = re.sub("[,_]", "", found[1]), found[2].strip()
    number = int(digits) if digits.lstrip("+-").isdigit() and len(digits) < _MOST_DIGITS else float(digits)
    if not behind or behind == unit:
        return number
    known = UNITS.get(unit, {})
    behind = _SPELT_OUT.get(behind.lower(), behind)
    times = known.get(behind, known.get(behind.lower()))
    if times is None:
        raise JobError(f"is in {behind!r}, which is not {_kind_of(unit)}")
    return number * times


def _kind_of(unit: str) -> str:
    """Say what a unit measures, and which units are taken for it."""
    known = UNITS.get(unit, {})
    if not unit:
        return "a unit of a plain number (leave it out; % is taken)"
    return f"one of its units ({', '.join(known or (unit,))})"
