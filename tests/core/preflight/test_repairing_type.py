"""Promises of repair of small type: dots stay apart from their stems, and type that is turned is mended alike."""

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, box
from stampwright import make_artwork
from stampwright.job.pieces import Lettering

from .test_repairing import mended, unmended

DOTTED = MultiPolygon(
    [box(-0.15, 0, 0.15, 1.5), box(-0.15, 1.75, 0.15, 2.05), box(0.5, 0, 0.8, 1.5), box(0.5, 1.75, 0.8, 2.05)]
)


@pytest.mark.parametrize("turn", [0, 37, 90])
def test_dots_above_stems_grow_away_from_them_and_from_each_other(turn):
    """As of i and j side by side, whose dots are specks: discs about their middles would meet, and lie on the stems."""
    result, findings = mended(affinity.rotate(DOTTED, turn, origin=(0, 0)))
    assert unmended(findings) == []
    parts = sorted(affinity.rotate(result.inked, -turn, origin=(0, 0)).geoms, key=lambda part: part.centroid.y)
    assert len(parts) == 4
    for dot in parts[2:]:
        assert 2 * shapely.minimum_bounding_radius(dot) >= 0.8
        assert min(dot.distance(stem) for stem in parts[:2]) >= 0.18
        assert dot.area > 0.9 * np.pi * 0.4**2
    assert parts[2].distance(parts[3]) >= 0.19
    for stem in parts[:2]:
        assert stem.bounds[3] == pytest.approx(1.5, abs=0.02)


@pytest.mark.parametrize("turn", [37, 180])
def test_turned_type_is_mended_as_it_is_upright(turn):
    words = make_artwork([Lettering(text="Rij bags", font="Noto Sans", cap_height=1.8)]).inked
    upright, turned = (mended(ink)[0].inked for ink in (words, affinity.rotate(words, turn, origin=(0, 0))))
    back = affinity.rotate(turned, -turn, origin=(0, 0))
    assert upright.difference(words).area > 2
    assert shapely.hausdorff_distance(upright, back) < 0.06
    assert back.symmetric_difference(upright).buffer(-0.01).area < 0.01
