"""Lengths that are calculated: calc(), min(), max() and clamp() (CSS Values and Units 4, chapter 10)."""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Sequence
from typing import Any

import tinycss2

from .tokens import words_of

Measure = Callable[[str], float | None]
"""What a single length is, px; None where it is none."""

DEEPEST = 32
"""How far brackets may lie inside one another."""

_CHOICES: dict[str, Callable[[Sequence[float]], float]] = {"min": min, "max": max}
_STEPS: dict[str, Callable[[float, float], float]] = {"+": operator.add, "-": operator.sub}


def calculated(text: str, measure: Measure) -> float | None:
    """Return what a text that calculates comes to, px; None where it is no such or does not follow the grammar.

    >>> calculated("calc(2px * (3 + 1))", lambda single: float(single.removesuffix("px")))
    8.0
    """
    if "(" not in text:
        return None
    tokens = words_of(tinycss2.parse_component_value_list(text))
    if len(tokens) != 1 or tokens[0].type != "function":
        return None
    try:
        value, is_length = _called(tokens[0], measure, 0)
    except (_Ungrammatical, OverflowError):
        return None
    return value if is_length and math.isfinite(value) else None


class _Ungrammatical(Exception):
    """Raised for what is no calculation."""


_Value = tuple[float, bool]
"""A number, and whether it is a length, px."""


def _called(function: Any, measure: Measure, depth: int) -> _Value:
    name = function.lower_name
    parts: list[list[Any]] = [[]]
    for token in function.arguments:
        if token.type == "literal" and token.value == ",":
            parts.append([])
        else:
            parts[-1].append(token)
    values = [_sum(part, measure, depth + 1) for part in parts]
    if len({is_length for _, is_length in values}) != 1:
        raise _Ungrammatical
    numbers, is_length = [value for value, _ in values], values[0][1]
    if name in _CHOICES:
        return _CHOICES[name](numbers), is_length
    if name == "clamp" and len(numbers) == 3:
        return max(numbers[0], min(numbers[1], numbers[2])), is_length
    if name == "calc" and len(numbers) == 1:
        return numbers[0], is_length
    raise _Ungrammatical


def _sum(tokens: list[Any], measure: Measure, depth: int) -> _Value:
    """Return the sum of terms; a sign between two of them has space on both sides."""
    terms: list[list[Any]] = [[]]
    signs = ["+"]
    for at, token in enumerate(tokens):
        around = tokens[at - 1 : at] + tokens[at + 1 : at + 2]
        spaced = len(around) == 2 and all(each.type == "whitespace" for each in around)
        if token.type == "literal" and token.value in {"+", "-"} and spaced:
            signs.append(token.value)
            terms.append([])
        else:
            terms[-1].append(token)
    total, is_length = _product(terms[0], measure, depth)
    for sign, term in zip(signs[1:], terms[1:], strict=True):
        value, also = _product(term, measure, depth)
        if also != is_length:
            raise _Ungrammatical
        total = _STEPS[sign](total, value)
    return total, is_length


def _product(tokens: Sequence[Any], measure: Measure, depth: int) -> _Value:
    words = words_of(tokens)
    if len(words) % 2 == 0:
        raise _Ungrammatical
    value, is_length = _single(words[0], measure, depth)
    for sign, word in zip(words[1::2], words[2::2], strict=True):
        other, also = _single(word, measure, depth)
        if sign.type != "literal" or (is_length and also):
            raise _Ungrammatical
        if sign.value == "*":
            value, is_length = value * other, is_length or also
        elif sign.value == "/" and not also and other:
            value /= other
        else:
            raise _Ungrammatical
    return value, is_length


def _single(token: Any, measure: Measure, depth: int) -> _Value:
    if depth > DEEPEST:
        raise _Ungrammatical
    if token.type == "number":
        return float(token.value), False
    if token.type == "function":
        return _called(token, measure, depth)
    if token.type == "() block":
        return _sum(token.content, measure, depth + 1)
    found = measure(token.serialize()) if token.type in {"dimension", "percentage"} else None
    if found is None:
        raise _Ungrammatical
    return found, True
