"""Numbers written all at once are those that were given, in no more letters than they take."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from stampwright.files.meshes.numbers_written import (
    Letters,
    decimal_letters,
    in_lines,
    thousandth_letters,
    whole_letters,
)


def words(letters: Letters) -> list[str]:
    return [row.tobytes().translate(None, b"\0").decode() for row in letters]


@given(st.lists(st.floats(width=32, allow_nan=False, allow_infinity=False), min_size=1, max_size=30))
def test_decimals_give_back_just_the_numbers_that_were_written(numbers: list[float]) -> None:
    told = words(decimal_letters(np.array(numbers, np.float32)))
    assert np.array(told, np.float64).astype(np.float32).tobytes() == np.array(numbers, np.float32).tobytes()


@given(st.lists(st.floats(-500.0, 500.0, width=32), min_size=1, max_size=30))
def test_decimals_take_hardly_more_letters_than_the_shortest_there_are(numbers: list[float]) -> None:
    # NumPy's own way to tell a float is the shortest (Ryu Dragonbox, or Grisu with a fallback).
    shortest = [
        np.format_float_positional(number, trim="-") for number in np.array(numbers, np.float32) if abs(number) > 1e-4
    ]
    told = [word for word in words(decimal_letters(np.array(numbers, np.float32))) if abs(float(word)) > 1e-4]
    for one, other in zip(told, shortest, strict=True):
        assert len(one) <= len(other) + 1
        assert "." not in one or not one.endswith(("0", "."))


@pytest.mark.parametrize(
    "number", [0.0, 0.9999999, 0.99999994, 1.0, 9999.999, 8191.9995, 8192.0, 10000.0, 1.5259e-5, 1.5258e-5, 16777216.0]
)
def test_decimals_hold_where_the_number_of_places_changes(number: float) -> None:
    around = np.float32(number) + np.float32(np.spacing(np.float32(number))) * np.arange(-3, 4, dtype=np.float32)
    both = np.concatenate((around, -around)).astype(np.float32)
    assert np.array(words(decimal_letters(both)), np.float64).astype(np.float32).tolist() == both.tolist()


@given(st.lists(st.integers(0, 2**31 - 1) | st.integers(0, 10_100), min_size=1, max_size=30))
def test_whole_numbers_are_written_as_python_writes_them(numbers: list[int]) -> None:
    assert words(whole_letters(np.array(numbers, np.int32))) == list(map(str, numbers))


@given(st.lists(st.floats(-9e6, 9e6) | st.floats(-0.01, 0.01), min_size=1, max_size=30))
def test_thousandths_are_those_of_rounding_one_by_one(numbers: list[float]) -> None:
    told = words(thousandth_letters(np.array(numbers)))
    assert told == [f"{round(number * 1000.0) / 1000.0 + 0.0:.3f}".rstrip("0").rstrip(".") for number in numbers]


@pytest.mark.parametrize(
    ("count", "numbers", "letters_of", "form"),
    [
        (25_001, np.arange, whole_letters, "{}"),
        (3, np.arange, whole_letters, "{}"),
        (12_000, lambda count: (np.arange(count) / 8).astype(np.float32), decimal_letters, "{:.9g}"),
    ],
)
def test_lines_are_those_of_a_form_filled_one_by_one(
    count: int, numbers: Callable[[int], np.ndarray], letters_of: Callable[[np.ndarray], Letters], form: str
) -> None:
    rows = numbers(3 * count).reshape(-1, 3)
    one_by_one = "".join(f'<a x="{form}" y="{form}" z="{form}"/>\n'.format(*row) for row in rows.tolist())
    assert b"".join(in_lines((b'<a x="', b'" y="', b'" z="', b'"/>\n'), rows, letters_of)).decode() == one_by_one
