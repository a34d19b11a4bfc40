"""Numbers read from a text all at once are those that Python reads one by one."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from stampwright.files.meshes.numbers_read import decimal_numbers, whole_numbers

WORDS = st.text(alphabet="0123456789+-.e", max_size=20)
FINITE = {"allow_nan": False, "allow_infinity": False}
FIGURES = st.floats(**FINITE).map(repr) | st.floats(width=32, **FINITE).map("{:.9g}".format)


def laid_out(words: list[str]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return words in a text, with where each begins and ends."""
    ends = np.cumsum([len(word) + 1 for word in words])
    text = np.frombuffer("".join(f'"{word}' for word in words).encode(), np.uint8)
    return text, ends - [len(word) for word in words], ends


def read_singly(words: list[str], how: type) -> list[float] | None:
    try:
        return [how(word) for word in words]
    except ValueError:
        return None


@given(st.lists(WORDS | FIGURES, min_size=1, max_size=8))
def test_decimals_are_those_of_reading_one_by_one(words: list[str]) -> None:
    found, singly = decimal_numbers(*laid_out(words)), read_singly(words, float)
    assert (found is None) == (singly is None)
    if singly is not None:
        assert found.tobytes() == np.array(singly).tobytes() or np.isnan(singly).any()


@given(st.lists(st.integers(0, 10**16).map(str) | WORDS, min_size=1, max_size=8))
def test_whole_numbers_are_those_of_reading_one_by_one(words: list[str]) -> None:
    found = whole_numbers(*laid_out(words))
    if all(word.isdecimal() and len(word) <= 15 for word in words):
        assert found is not None
        assert found.tolist() == [int(word) for word in words]
    else:
        assert found is None
