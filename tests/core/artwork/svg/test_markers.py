"""Markers stand at vertices, turned as the standard says where renderers differ (SVG 2, section 13.7.4)."""

import pytest
from shapely.geometry import Point

MARKER = (
    '<marker id="m" markerUnits="userSpaceOnUse" markerWidth="6" markerHeight="6" refX="{}" refY="3" orient="auto">'
    '<rect width="6" height="6"/></marker>'
)


def test_arc_has_no_vertex_between_its_ends(draw):
    path = '<path d="M10 50A30 30 0 0 1 70 50A5 5 0 0 1 90 50" fill="none" marker-mid="url(#m)"/>'
    (square,) = draw(MARKER.format(3) + path).inked.geoms
    assert square.centroid.distance(Point(70, 50)) < 0.01


def test_marker_where_a_path_closes_is_turned_halfway(draw):
    path = '<path d="M30 30H70V70z" fill="none" marker-end="url(#m)"/>'
    (square,) = draw(MARKER.format(0) + path).inked.geoms
    # In along (-1, -1), out along (1, 0): halfway lies 67.5 degrees up from straight on.
    offset = (square.centroid.x - 30, square.centroid.y - 70)
    assert offset == pytest.approx((3 * 0.38268, 3 * 0.92388), abs=1e-3)
