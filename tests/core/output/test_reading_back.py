"""Files read back are judged by what they hold, not by what was meant to be in them."""

import numpy as np
import pytest
from shapely.geometry import box
from stampwright.files.meshes.stl import stl_bytes
from stampwright.output.reading_back import judge_stl
from stampwright.solids import extrude

HEADER, FACET = 84, 50


@pytest.fixture
def block():
    return extrude(box(0, 0, 4, 3), 0.0, 2.0, name="block")


def test_a_file_that_holds_what_was_meant_is_as_sound(block):
    solid, verdict = judge_stl(stl_bytes(block), "block", block)
    assert verdict.sound
    assert verdict == block.soundness
    assert np.array_equal(solid.vertices[solid.triangles], block.vertices[block.triangles])


@pytest.mark.parametrize("facet", [0, 3, 11])
def test_a_corner_that_moved_in_the_file_is_found(block, facet):
    assert block.soundness.sound
    content = bytearray(stl_bytes(block))
    corner = HEADER + facet * FACET + 12
    content[corner : corner + 4] = np.float32(17.0).tobytes()
    assert judge_stl(bytes(content), "block", block)[1].open_edges > 0


def test_a_facet_that_is_missing_in_the_file_is_found(block):
    content = bytearray(stl_bytes(block)[:-FACET])
    content[80:84] = (len(block.triangles) - 1).to_bytes(4, "little")
    assert judge_stl(bytes(content), "block", block)[1].open_edges == 3
