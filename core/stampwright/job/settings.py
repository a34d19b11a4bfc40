"""Settings: what is known about one setting of a job, and the check of a value against it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any, Literal

from ..errors import JobError
from ..looks.numbers import spoken
from .written.numbers import read_number
from .written.texts import Form, described, fits

Kind = Literal["number", "whole", "switch", "choice", "text", "points", "names"]

Point = tuple[float, float]

MOST_POINTS = 20_000
MOST_NAMES = 1_000
LEAST_NUMBER = 1e-9
"""A number of a job nearer to 0 than this, in the setting's unit, is 0: nothing made by hand is as fine, and a quotient
by it is larger than numbers go."""


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One setting of a job: its kind of value, unit, allowed limits, normal range, and what it is for.

    ``choices``: what a choice or list of names is taken from, each with the reason to take it. ``share``: whether it is
    a share of something that it may be more than.
    """

    kind: Kind
    reason: str
    unit: str = ""
    low: float = -math.inf
    high: float = math.inf
    normal: tuple[float, float] | None = None
    choices: Mapping[str, str] = field(default_factory=dict)
    text: Form = "line"
    share: bool = False

    @property
    def is_share(self) -> bool:
        """Whether this is a share of something, which people read as percent: one of a whole is, 0 to 1."""
        is_of_whole = self.kind == "number" and not self.unit and self.low >= 0 and self.high <= 1
        return self.share or is_of_whole

    def allowed(self) -> str:
        """Say in words what values are allowed.

        >>> Setting(kind="number", reason="", unit="mm", low=1, high=3).allowed()
        'a number from 1 to 3 mm'
        >>> Setting(kind="whole", reason="", low=1_000, high=5e6).allowed()
        'a whole number from 1,000 to 5,000,000'
        """
        unit = f" {self.unit}" if self.unit else ""
        match self.kind:
            case "number" | "whole":
                noun = "a whole number" if self.kind == "whole" else "a number"
                return f"{noun} from {spoken(self.low)} to {spoken(self.high)}{unit}"
            case "switch":
                return "true or false"
            case "choice":
                return "one of " + ", ".join(self.choices)
            case "text":
                return described(self.text)
            case "points":
                return f"a list of [x, y] pairs in {self.unit}, {MOST_POINTS} at most"
            case "names":
                each = f"out of: {', '.join(self.choices)}" if self.choices else f"each {described('line')}"
                return f"a list of names, {each}"


def setting(default: Any, reason: str, *, kind: Kind | None = None, **about: Any) -> Any:
    """Declare a field as a setting, with its default and its :class:`Setting`; its kind follows from the default."""
    if kind is None:
        if isinstance(default, bool):
            kind = "switch"
        elif isinstance(default, int):
            kind = "whole"
        elif isinstance(default, float):
            kind = "number"
        else:
            kind = "choice" if "choices" in about else "text"
    return field(default=default, metadata={"setting": Setting(kind=kind, reason=reason, **about)})


class Section:
    """A section of a job: frozen settings that check themselves, by whatever way they are made."""

    def __post_init__(self) -> None:
        """Check every setting; raises :class:`JobError`."""
        check_settings(self, type(self).__name__.removesuffix("Section").lower())


def limits_of(section: type[Section], name: str) -> tuple[float, float]:
    """Return the least and the greatest value that a number of a section may have."""
    about: Setting = next(each.metadata["setting"] for each in fields(section) if each.name == name)  # type: ignore[arg-type]
    return about.low, about.high


def check_settings(owner: Any, name: str) -> None:
    """Check every setting of a frozen dataclass and give it its proper type; raises :class:`JobError`.

    ``name``: what the owner is called in messages, before the name of the setting.
    """
    for each in fields(owner):
        value = checked(f"{name}.{each.name}", getattr(owner, each.name), each.metadata["setting"])
        object.__setattr__(owner, each.name, value)


def checked(path: str, value: Any, about: Setting) -> Any:
    """Return ``value`` in its proper type (a list as a tuple, a whole number as a float where a length is meant).

    Numbers may come as text with a unit behind them (``"2 in"``), and also as numpy's scalars and arrays. Raises
    :class:`JobError` naming the setting, the value and what is allowed.
    """
    if hasattr(value, "tolist"):
        value = value.tolist()
    match about.kind:
        case "number" | "whole":
            return _checked_number(path, value, about)
        case "switch":
            if isinstance(value, bool):
                return value
        case "choice":
            if isinstance(value, str) and value in about.choices:
                return value
        case "text":
            if isinstance(value, str) and fits(value, about.text):
                return value
        case "names":
            names = value if isinstance(value, list | tuple) and len(value) <= MOST_NAMES else (None,)
            if all(_is_name(name, about) for name in names):
                return tuple(names)
        case "points":
            points = _as_points(value)
            if points is not None:
                return points
    raise _not_allowed(path, value, about)


def _checked_number(path: str, value: Any, about: Setting) -> float | int:
    if isinstance(value, str):
        value = _as_number(path, value, about)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise _not_allowed(path, value, about)
    # Comparing first keeps huge integers, which no float can hold, away from the conversion; NaN fails it too.
    if not about.low <= value <= about.high:
        raise _not_allowed(path, value, about)
    if about.kind == "number":
        return float(value) if abs(value) >= LEAST_NUMBER else 0.0
    if value != int(value):
        raise _not_allowed(path, value, about)
    return int(value)


def _is_name(value: Any, about: Setting) -> bool:
    return isinstance(value, str) and (value in about.choices if about.choices else fits(value, "line"))


def _as_number(path: str, typed: str, about: Setting) -> float | int:
    try:
        number = read_number(typed, about.unit)
    except JobError as error:
        raise _not_allowed(path, typed, about, str(error)) from error
    return number


def _as_points(value: Any) -> tuple[Point, ...] | None:
    if not isinstance(value, list | tuple) or len(value) > MOST_POINTS:
        return None
    points = []
    for pair in value:
        if not isinstance(pair, list | tuple) or len(pair) != 2:
            return None
        if any(isinstance(part, bool) or not isinstance(part, int | float) for part in pair):
            return None
        if not all(abs(part) <= 1e4 for part in pair):
            return None
        points.append((float(pair[0]), float(pair[1])))
    return tuple(points)


def _not_allowed(path: str, value: Any, about: Setting, why: str = "is not allowed") -> JobError:
    shown = repr(value)
    if len(shown) > 60:
        shown = shown[:57] + "..."
    return JobError(f"{path} = {shown} {why}: it takes {about.allowed()}")
