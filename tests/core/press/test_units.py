"""A mesh that was drawn in inches, centimetres or metres is told by its size."""

import numpy as np
import pytest
from stampwright.press import find_face
from stampwright.solids import Solid

CORNERS = np.array([(x, y, z) for x in (0, 46) for y in (0, 30) for z in (0, 4)], dtype=float)
SIDES = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
TRIANGLES = np.array([t for a, b, c, d in SIDES for t in ((a, b, c), (a, c, d))])


@pytest.mark.parametrize(("millimetres", "unit"), [(25.4, "25.4 mm"), (10.0, "10 mm"), (1.0, "")])
def test_a_mesh_in_another_unit_is_told(millimetres, unit):
    found = [
        finding
        for finding in find_face(Solid("die", CORNERS / millimetres, TRIANGLES)).findings
        if finding.kind == "another unit"
    ]
    assert [f"drawn in units of {unit} it would be 46.0 x 30.0 mm" in finding.message for finding in found] == [
        True
    ] * bool(unit)
