"""Scans laid askew are told by their angle, and turned level only when that is asked for."""

from __future__ import annotations

import io

import pytest
import resvg_py
import shapely
from PIL import Image
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, box
from stampwright.artwork import read_artwork
from stampwright.artwork.fonts import find_font, outline_text
from stampwright.artwork.tracing.deskewing import angle_askew
from stampwright.job.sections.tracing import TracingSection

FRAME = box(10, 10, 50, 40).difference(box(12, 12, 48, 38)).union(Point(30, 25).buffer(8))
WORDS = affinity.translate(outline_text("SEED LIBRARY", find_font("sans-serif", 700, folders=())[0], 6), 8, 20)


def scanned(path, inked, turn=0.0, dpi=300):
    """Draw ink on a page of 60 x 50 mm, turned about its middle, each pixel as it is covered, as a scanner sees it."""
    inked = affinity.rotate(inked, turn, origin=(30, 25))
    columns, rows = round(60 * dpi / 25.4), round(50 * dpi / 25.4)
    rings = [ring for part in shapely.get_parts(inked) for ring in (part.exterior, *part.interiors)]
    steps = ("M" + "L".join(f"{x:.6f} {50 - y:.6f}" for x, y in ring.coords[:-1]) + "Z" for ring in rings)
    page = resvg_py.svg_to_bytes(
        svg_string=f'<svg xmlns="http://www.w3.org/2000/svg" width="{columns}" height="{rows}" '
        f'viewBox="0 0 {columns * 25.4 / dpi} {rows * 25.4 / dpi}"><rect width="99" height="99" fill="#fff"/>'
        f'<path fill-rule="evenodd" fill="#141414" d="{"".join(steps)}"/></svg>'
    )
    Image.open(io.BytesIO(bytes(page))).convert("L").save(path, dpi=(dpi, dpi))
    return path


def askew(artwork):
    return [finding for finding in artwork.findings if finding.kind == "scan askew"]


@pytest.mark.parametrize("turn", [-6.0, -1.5, 0.6, 3.0])
def test_angle_of_a_scan_is_told_and_nothing_turned(tmp_path, turn):
    artwork = read_artwork(scanned(tmp_path / "scan.png", FRAME, turn))
    (finding,) = askew(artwork)
    assert finding.measured == pytest.approx(abs(turn), abs=0.1)
    assert ("counter-clockwise" in finding.message) == (turn > 0)
    assert "tracing.deskew" in finding.remedy
    assert artwork.inked.symmetric_difference(affinity.rotate(FRAME, turn, origin=(30, 25))).area < 0.02 * FRAME.area


@pytest.mark.parametrize("turn", [-6.0, 0.6, 3.0])
@pytest.mark.parametrize("inked", [FRAME, WORDS], ids=["frame", "words"])
def test_scan_is_turned_level_when_asked(tmp_path, turn, inked):
    path = scanned(tmp_path / "scan.png", inked, turn)
    artwork = read_artwork(path, tracing=TracingSection(deskew=True))
    (finding,) = askew(artwork)
    # Letters have short edges, which tell their angle less well.
    assert finding.measured == pytest.approx(abs(turn), abs=0.1 if inked is FRAME else 0.3)
    assert angle_askew(artwork.inked) == 0
    assert artwork.inked.symmetric_difference(inked).area < (0.03 if inked is FRAME else 0.08) * inked.area


@pytest.mark.parametrize(
    "inked",
    [
        FRAME,
        affinity.rotate(FRAME, 30, origin=(30, 25)),
        Point(30, 25).buffer(20, quad_segs=90),
        MultiPolygon([affinity.rotate(box(29, 3, 31, 20), turn, origin=(30, 25)) for turn in range(0, 360, 40)]),
        FRAME.union(affinity.rotate(box(20, 24, 40, 26), 3, origin=(30, 25))),
    ],
    ids=["level", "set at an angle", "round", "rays", "one line askew in a level frame"],
)
def test_what_was_meant_so_is_left_alone(tmp_path, inked):
    artwork = read_artwork(scanned(tmp_path / "scan.png", inked), tracing=TracingSection(deskew=True))
    assert askew(artwork) == []
    assert artwork.inked.symmetric_difference(inked).area < 0.03 * inked.area
    # What was asked for and did nothing is said.
    assert [each.message for each in artwork.findings if each.kind == "setting not used"] == [
        "tracing.deskew turned nothing: no straight edges of the scan lie at a small common angle"
    ]
