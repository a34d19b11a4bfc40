"""The push curve as it is drawn."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from PIL import Image
from stampwright.artwork.fonts.case import BUNDLED_FOLDER
from stampwright.output import push_curve_page, push_curve_panel, push_curve_svg
from stampwright.press import HAND_FORCES, PushCurve

DRESSED = PushCurve((2.0, 10.0, 50.0), (0.0, 0.2, 1.0), 20.0)
PRINTED = PushCurve((2.0, 10.0, 50.0), (0.1, 0.2, 0.3), None)
SVG = "{http://www.w3.org/2000/svg}"


def drawn(*curves, title="Push curve"):
    return ET.fromstring(push_curve_svg(curves, HAND_FORCES[2], title=title))


def test_curves_rise_to_the_dot_where_they_print_whole() -> None:
    root = drawn(("undressed", PRINTED), ("dressed", DRESSED))
    lines = [
        [tuple(map(float, point.split(","))) for point in line.get("points").split()]
        for line in root.iter(f"{SVG}polyline")
        if line.get("stroke-width") == "0.7" and line.get("points").count(" ") > 1
    ]
    assert len(lines) == 2
    for line in lines:
        assert [x for x, _ in line] == sorted(x for x, _ in line)
        assert [y for _, y in line] == sorted((y for _, y in line), reverse=True)
    (dot,) = root.iter(f"{SVG}circle")
    assert (float(dot.get("cx")), float(dot.get("cy"))) == pytest.approx(lines[1][2])


def test_it_names_curves_hand_and_source_and_stays_inside() -> None:
    root = drawn(("<undressed>", PRINTED), ("dressed", DRESSED), title="A & B" * 40)
    words = " ".join(root.itertext())
    for needed in (
        "<undressed>: no push that it bears",
        "dressed: whole at 20 N",
        "110 N",
        "a published push and pull table",
        "assumed",
    ):
        assert needed in re.sub(r"\s+", " ", words)
    width, height = map(float, root.get("viewBox").split()[2:])
    for element in root.iter(f"{SVG}text"):
        assert 0 <= float(element.get("x")) <= width
        assert 0 <= float(element.get("y")) <= height


def test_push_that_is_worked_with_is_marked() -> None:
    plain, marked = (
        " ".join(ET.fromstring(push_curve_svg([("dressed", DRESSED)], HAND_FORCES[2], force=force)).itertext())
        for force in (None, 63.0)
    )
    assert "63 N" in marked
    assert "63 N" not in plain


def test_picture_shows_what_the_drawing_shows() -> None:
    resvg_py = pytest.importorskip("resvg_py")
    curves = [("undressed", PRINTED), ("dressed", DRESSED)]
    picture = push_curve_page(curves, HAND_FORCES[2], force=60.0, columns=740)
    svg = push_curve_svg(curves, HAND_FORCES[2], force=60.0)
    # Both with the same font, so that only the way of drawing differs.
    named = re.sub(r'font-family="[^"]*"', 'font-family="Noto Sans"', svg)
    drawn = resvg_py.svg_to_bytes(
        svg_string=named, font_dirs=[str(BUNDLED_FOLDER)], zoom=2.0, background="#ffffff", dpi=96.0
    )
    expected = np.asarray(Image.open(io.BytesIO(drawn)).convert("RGB").resize(picture.shape[1::-1]))
    off = np.abs(picture.astype(int) - expected.astype(int)).max(axis=2)
    assert (off > 96).mean() < 0.01
    assert (picture.min(axis=2) < 128).mean() == pytest.approx((expected.min(axis=2) < 128).mean(), rel=0.2)


def test_panel_is_square_and_holds_all_curves() -> None:
    picture = push_curve_panel([("undressed", PRINTED), ("dressed", DRESSED)], HAND_FORCES[2], force=60.0, columns=320)
    assert picture.shape == (320, 320, 3)
    for colour in ((0xA0, 0x28, 0x2A), (0x1F, 0x7A, 0x4D)):
        assert (np.abs(picture.astype(int) - colour).max(axis=2) < 12).sum() > 50
    # Nothing is cut off at the edges.
    edges = np.concatenate([picture[0], picture[-1], picture[:, 0], picture[:, -1]])
    assert (edges == 255).all()
