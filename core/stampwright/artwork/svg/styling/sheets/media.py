"""Media queries: whether rules apply where a drawing is shown on a screen, dark on light, as large as its page."""

from __future__ import annotations

import operator
import re
from collections.abc import Callable

from ..values import length, number

_WORDS = {
    "prefers-color-scheme": "light",
    "prefers-reduced-motion": "no-preference",
    "prefers-contrast": "no-preference",
    "forced-colors": "none",
    "scripting": "none",
    "color": "8",
}
"""What a plain screen answers (Media Queries 5, chapters 5 to 7 and 11)."""

_COMPARED: dict[str, Callable[[float, float], bool]] = {
    "=": lambda a, b: abs(a - b) < 1e-6,
    "<": operator.lt,
    ">": operator.gt,
    "<=": operator.le,
    ">=": operator.ge,
}
_TURNED = {"<": ">", ">": "<", "<=": ">=", ">=": "<=", "=": "="}
_RANGE = re.compile(r"([^<>=]+)(<=|>=|<|>|=)([^<>=]+)(?:(<=|>=|<|>)([^<>=]+))?")


def applies(media: str, page: tuple[float, float]) -> bool:
    """Whether rules for a list of media apply (Media Queries 4, sections 2 and 3); ``page``: width and height, px.

    >>> applies("only screen, tv", (300, 150)), applies("screen and (max-width: 200px)", (300, 150))
    (True, False)
    """
    return any(_query(" ".join(query.lower().split()), page) for query in media.split(","))


def _query(query: str, page: tuple[float, float]) -> bool:
    query = query.removeprefix("only ")
    if not query:
        return True
    if query.startswith("not "):
        return not _query(query.removeprefix("not "), page) if _known(query.removeprefix("not ")) else False
    if " or " in query and " and " not in query:
        return any(_part(part.strip(), page) for part in query.split(" or "))
    return all(_part(part.strip(), page) for part in query.split(" and "))


def _known(query: str) -> bool:
    """Whether a query can be read at all; one that cannot applies neither way."""
    return not query.startswith("(") or _feature(query.strip("() "), (1.0, 1.0)) is not None


def _part(part: str, page: tuple[float, float]) -> bool:
    if part.startswith("not "):
        found = _feature(part.removeprefix("not ").strip("() "), page)
        return found is False
    if part.startswith("("):
        return _feature(part[1:].removesuffix(")").strip(), page) is True
    return part in {"all", "screen"}


def _feature(text: str, page: tuple[float, float]) -> bool | None:
    """Say whether a feature is as asked for; None for one that is not known."""
    name, colon, asked = (part.strip() for part in text.partition(":"))
    if not colon:
        compared = _RANGE.fullmatch(text)
        if compared is not None:
            return _within([part and part.strip() for part in compared.groups()], page)
        return name in _WORDS and _WORDS[name] not in {"none", "no-preference"} if name in _WORDS else None
    if name in _WORDS:
        return asked == _WORDS[name]
    if name == "orientation":
        return asked == ("landscape" if page[0] > page[1] else "portrait")
    relation = {"min-": ">=", "max-": "<="}.get(name[:4], "=")
    return _compared(name[4:] if relation != "=" else name, relation, asked, page)


def _within(parts: list[str], page: tuple[float, float]) -> bool | None:
    left, relation, middle, second, right = parts
    if second:
        found = [_compared(middle, _TURNED[relation], left, page), _compared(middle, second, right, page)]
        return None if None in found else all(found)
    turned = _compared(middle, _TURNED[relation], left, page)
    return _compared(left, relation, middle, page) if turned is None else turned


def _compared(name: str, relation: str, asked: str, page: tuple[float, float]) -> bool | None:
    width, height = page
    own = {
        "width": width,
        "height": height,
        "device-width": width,
        "device-height": height,
        "aspect-ratio": width / height if height else 0.0,
    }.get(name)
    if own is None:
        return None
    if name == "aspect-ratio":
        over, slash, under = asked.partition("/")
        shares = number(over, 0.0), number(under, 0.0) if slash else 1.0
        limit: float | None = shares[0] / shares[1] if shares[1] else None
    else:
        limit = length(asked)
    return None if limit is None else _COMPARED[relation](own, limit)
