"""Promises of repair where a wall between two openings is thin: it grows, whatever is open behind it."""

import pytest
import shapely
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.job import Job
from stampwright.preflight import THIN_LINE

from .test_repairing import mended

BLOCK = box(-8, -4, 8, 4)


def blocking(findings):
    return [finding.message for finding in findings if finding.kind == THIN_LINE and finding.severity == "blocks"]


@pytest.mark.parametrize("wall", [0.06, 0.11, 0.17])
def test_a_wall_between_a_pinhole_and_the_edge_grows_outwards(wall):
    """Opening the pinhole would cut the wall through; there is room for it on the other side."""
    ink = Point(0, 0).buffer(5).difference(Point(4.875 - wall, 0).buffer(0.125))
    result, findings = mended(ink)
    assert blocking(findings) == []
    assert result.added.area > 0


@pytest.mark.parametrize("apart", [0.05, 0.1, 0.18])
@pytest.mark.parametrize("lean", [0.1, 0.5, 1.2])
def test_ink_between_two_corners_is_widened(apart, lean):
    """As between two white letters on black: what the printer lays is between their corners, and no more is changed."""
    one = Polygon([(-3, -1), (-apart / 2 - 0.1, -1.2), (-apart / 2, 0), (-3, 0)])
    other = Polygon([(apart / 2, 0), (1, 0), (lean + 1, -3), (apart / 2 + lean, -3)])
    ink = BLOCK.difference(one).difference(other)
    result, findings = mended(MultiPolygon([ink]))
    assert blocking(findings) == []
    assert result.removed.area < 0.01
    assert result.added.difference(Point(0, 0).buffer(1.6)).area < 0.01
    assert len(shapely.get_rings(shapely.get_parts(result.inked))) == 3


def test_what_bridges_corners_is_smooth():
    """No knob: the outline turns by little more than it did, to and fro."""
    ink = MultiPolygon(
        [BLOCK.difference(box(-3, -1, -0.05, 0)).difference(Polygon([(0.05, 0), (1, 0), (2.2, -3), (1.4, -3)]))]
    )
    result, _ = mended(ink, Job())
    hollow = shapely.buffer(shapely.buffer(result.inked, 0.15), -0.15).difference(result.inked)
    assert hollow.intersection(Point(0, 0).buffer(0.8)).area < 0.003
