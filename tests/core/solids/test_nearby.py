"""A cut near the surface gives what the kernel makes of the whole solid, and goes to it where it must."""

import numpy as np
import pytest
from shapely.geometry import Point, box
from stampwright.errors import SolidError
from stampwright.solids import check_soundness, cut, extrude, measure_sections, nearby
from stampwright.solids.nearby import cut_near

BLOCK = extrude(Point(0, 0).buffer(20, quad_segs=30), 0, 30, name="block")
MIDDLE = (0.0, 0.0, 5.0)


def tool(shape, low, high):
    return extrude(shape, low, high, name="tool")


TOOLS = {
    "a groove in the side": (tool(box(-2, 18, 2, 25), -1, 8), MIDDLE),
    "a hole in the top": (tool(box(-2, -2, 2, 2), 26, 31), (0.0, 0.0, 10.0)),
    "a hole all through": (tool(box(-2, -2, 2, 2), -1, 31), MIDDLE),
    "a tool that swallows the tip": (tool(box(-3, -3, 3, 25), 2, 8), MIDDLE),
    "seen from outside": (tool(box(-2, 18, 2, 25), -1, 8), (0.0, 40.0, 5.0)),
    "a cave that opens nowhere": (tool(box(-2, -2, 2, 2), 12, 14), MIDDLE),
    "a tool beside it": (tool(box(50, 50, 52, 52), 2, 8), MIDDLE),
    "a ring cut off": (tool(box(-30, -30, 30, 30), 12, 14), MIDDLE),
}


@pytest.mark.parametrize("name", TOOLS)
def test_a_cut_near_the_surface_is_that_of_the_whole(name):
    cutter, inside = TOOLS[name]
    near, whole = cut_near(BLOCK, cutter, inside, name="cut"), cut(BLOCK, [cutter], name="cut")
    assert check_soundness(near.vertices, near.triangles).sound
    assert near.volume == pytest.approx(whole.volume, rel=1e-9)
    assert near.area == pytest.approx(whole.area, rel=1e-9)
    heights = np.linspace(0.1, 29.9, 60)
    for mine, theirs in zip(measure_sections(near, heights), measure_sections(whole, heights), strict=True):
        assert mine == pytest.approx(theirs, rel=1e-6)


def test_only_the_patch_goes_through_the_kernel(monkeypatch):
    seen = []
    monkeypatch.setattr(nearby, "cut", lambda solid, tools, name: seen.append(solid) or cut(solid, tools, name=name))
    fine = extrude(Point(0, 0).buffer(20, quad_segs=200), 0, 30, name="block")
    cut_near(fine, TOOLS["a groove in the side"][0], MIDDLE, name="cut")
    assert [len(solid.triangles) < len(fine.triangles) / 2 for solid in seen] == [True]


def test_what_nothing_is_left_of_is_refused():
    with pytest.raises(SolidError):
        cut_near(BLOCK, tool(box(-50, -50, 50, 50), -5, 50), MIDDLE, name="cut")
