"""The press curve as it is drawn."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest
from stampwright.output import press_curve_svg
from stampwright.press import HAND_FORCES, PressCurve

DRESSED = PressCurve((2.0, 10.0, 50.0), (0.0, 0.2, 1.0), 20.0)
PRINTED = PressCurve((2.0, 10.0, 50.0), (0.1, 0.2, 0.3), None)
SVG = "{http://www.w3.org/2000/svg}"


def drawn(*curves, title="Press curve"):
    return ET.fromstring(press_curve_svg(curves, HAND_FORCES[2], title=title))


def test_curves_rise_to_the_dot_where_they_print_whole() -> None:
    root = drawn(("as printed", PRINTED), ("dressed", DRESSED))
    lines = [
        [tuple(map(float, point.split(","))) for point in line.get("points").split()]
        for line in root.iter(f"{SVG}polyline")
    ]
    assert len(lines) == 2
    for line in lines:
        assert [x for x, _ in line] == sorted(x for x, _ in line)
        assert [y for _, y in line] == sorted((y for _, y in line), reverse=True)
    (dot,) = root.iter(f"{SVG}circle")
    assert (float(dot.get("cx")), float(dot.get("cy"))) == pytest.approx(lines[1][2])


def test_it_names_curves_hand_and_source_and_stays_inside() -> None:
    root = drawn(("<as printed>", PRINTED), ("dressed", DRESSED), title="A & B" * 40)
    words = " ".join(root.itertext())
    for needed in ("<as printed>: no push that it bears", "dressed: whole at 20 N", "110 N", "Kodak", "assumed"):
        assert needed in re.sub(r"\s+", " ", words)
    width, height = map(float, root.get("viewBox").split()[2:])
    for element in root.iter(f"{SVG}text"):
        assert 0 <= float(element.get("x")) <= width
        assert 0 <= float(element.get("y")) <= height
