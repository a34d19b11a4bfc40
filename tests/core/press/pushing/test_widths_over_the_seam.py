"""Widths of a roller's relief: a line on the seam is one line, as it is anywhere else."""

from dataclasses import replace

import numpy as np
import pytest
from stampwright.press.contact.rolling import Rolling
from stampwright.press.impression import HeightMap
from stampwright.press.pushing.relief import line_widths, measure_lines

PITCH, LONG = 0.1, 60.0


def _face(middle, width, *, upward, beyond=0):
    """Return a face with one bar across the way, its middle on ``middle`` mm; ``beyond``: idle pixels at both ends."""
    count = round(LONG / PITCH)
    at = (np.arange(count) + 0.5) * PITCH - LONG / 2.0
    away = np.abs((at - middle + LONG / 2.0) % LONG - LONG / 2.0)
    inked = np.tile(np.pad(away < width / 2.0, beyond), (120, 1))
    inked = inked.T.copy() if upward else inked
    height = np.where(inked, 0.0, -2.0).astype(np.float32)
    return HeightMap(height, inked, PITCH, (-inked.shape[1] * PITCH / 2, -inked.shape[0] * PITCH / 2), 2.0)


@pytest.mark.parametrize("upward", [False, True])
@pytest.mark.parametrize("beyond", [0, 1])
def test_a_line_on_the_seam_is_as_wide_as_one_within(upward, beyond):
    rolling = Rolling(radius=30.0, upward=upward, round_once=LONG)
    inside, on_seam = (_face(middle, 1.2, upward=upward, beyond=beyond) for middle in (0.0, LONG / 2.0))
    places = [np.flatnonzero(face.face & _middle_of(face, upward)) for face in (inside, on_seam)]
    within, over = (
        line_widths(face, rolling).at(*face.rows_and_columns(pixels)).mean()
        for face, pixels in zip((inside, on_seam), places, strict=True)
    )
    # Both halves of it end at the seam in the map, so that each by itself is half as wide.
    alone = line_widths(on_seam).at(*on_seam.rows_and_columns(places[1])).mean()
    assert over == pytest.approx(within, rel=0.03)
    assert alone < 0.7 * within


def test_away_from_the_seam_nothing_changes():
    face = _face(4.0, 3.0, upward=False)
    plain = measure_lines(face)
    rolled = measure_lines(replace(face), Rolling(radius=30.0, round_once=LONG))
    for one, other in zip(plain, rolled, strict=True):
        assert one.side == other.side
        assert one.values == pytest.approx(other.values)


def _middle_of(face, upward):
    rows, columns = face.face.shape
    across = np.zeros(face.face.shape, dtype=bool)
    if upward:
        across[:, columns // 2] = True
    else:
        across[rows // 2] = True
    return across
