"""The proof is the impression at true size, and tells findings apart by shape as well as by colour."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
import resvg_py
import zxingcpp
from PIL import Image
from shapely.geometry import MultiPolygon
from stampwright.artwork import make_artwork
from stampwright.findings import Finding
from stampwright.job import Job
from stampwright.job.pieces import pieces_from_data
from stampwright.output import proof_svg
from stampwright.output.paper.drawing import ADDED, INK, draw_impression, inline_svg, sign_svg
from stampwright.stamp import Stamp
from stampwright.workshop import make_stamp

SVG = "{http://www.w3.org/2000/svg}"


def points_of(path: str) -> np.ndarray:
    return np.array([[float(number) for number in pair.split()] for pair in re.findall(r"[-\d.]+ [-\d.]+", path)])


def test_a_unit_is_a_millimetre(stamp: Stamp) -> None:
    root = ElementTree.fromstring(proof_svg(stamp))
    _, _, width, height = map(float, root.get("viewBox").split())
    assert root.get("width") == f"{width:.3f}mm"
    assert root.get("height") == f"{height:.3f}mm"
    base = next(path for path in root.iter(f"{SVG}path") if "stroke-dasharray" in path.attrib)
    assert np.ptp(points_of(base.get("d")), axis=0) == pytest.approx([50, 50], abs=0.01)
    bar = next(path for path in root.iter(f"{SVG}path") if "H10M10" in path.get("d", ""))
    assert "10 mm" in "".join(next(group for group in root.iter(f"{SVG}g") if bar in list(group)).itertext())


def test_another_renderer_sees_the_impression(stamp: Stamp) -> None:
    drawing = draw_impression(replace(stamp, findings=(), repair=None))
    zoom = 8  # pixels to the millimetre
    shown = resvg_py.svg_to_bytes(svg_string=inline_svg(drawing, label=""), dpi=25.4, zoom=zoom, background="white")
    tones = np.asarray(Image.open(io.BytesIO(bytes(shown))).convert("L"))[: int(drawing.height * zoom)]
    dark = (255.0 - tones) / (255 - int(INK[1:3], 16) * 0.3 - int(INK[3:5], 16) * 0.59 - int(INK[5:], 16) * 0.11)
    assert dark[dark > 0.5].sum() / zoom**2 == pytest.approx(stamp.impression.outlines.area, rel=0.01)
    rows, columns = np.nonzero(dark > 0.5)
    left, bottom, right, top = stamp.impression.outlines.bounds
    assert (np.ptp(columns) / zoom, np.ptp(rows) / zoom) == pytest.approx((right - left, top - bottom), abs=0.3)


def test_what_repair_changed_is_drawn_and_told(stamp: Stamp) -> None:
    assert stamp.repair.added.area > 0
    proof = proof_svg(stamp)
    assert f'fill="{ADDED}"' in proof
    assert "added by repair" in proof
    assert "added by repair" not in proof_svg(replace(stamp, repair=None))


def test_severities_differ_in_shape() -> None:
    shapes = {
        severity: re.sub(r"#\w+|<text.*</text>", "", sign_svg(severity, 1, 0, 0))
        for severity in ("blocks", "warns", "notes")
    }
    assert len(set(shapes.values())) == 3
    assert "<circle" in shapes["notes"]
    assert "<circle" not in shapes["blocks"] + shapes["warns"]


def test_blocking_findings_are_marked_and_told(blocked_stamp: Stamp) -> None:
    assert blocked_stamp.blocked
    proof = proof_svg(blocked_stamp)
    assert blocked_stamp.blocked[0].kind in proof
    assert sign_svg("blocks", 1, 0, 0)[40:80] in proof


def test_whatever_the_user_wrote_is_text(stamp: Stamp) -> None:
    name = '<script>alert("x")</script>&\x85'
    odd = Finding(kind="<b>", severity="notes", stage="build", message="a & b <i>", remedy='"c"')
    proof = proof_svg(replace(stamp, job=stamp.job.with_value("name", name.replace("\x85", "")), findings=(odd,)))
    root = ElementTree.fromstring(proof)
    assert not list(root.iter(f"{SVG}script"))
    assert "a & b <i>" in "".join(root.itertext())


def test_it_draws_even_a_stamp_without_ink_and_one_with_a_thousand_findings(stamp: Stamp) -> None:
    bare = replace(stamp, impression=replace(stamp.impression, outlines=MultiPolygon()))
    ElementTree.fromstring(proof_svg(bare))
    spot = stamp.layout.base.centroid.buffer(0.3)
    many = Finding(kind="speck", severity="warns", stage="preflight", message="0.3 mm across", place=spot)
    proof = proof_svg(replace(stamp, findings=(many,) * 1000))
    assert "speck, 1000 places" in proof
    of_all_kinds = tuple(replace(many, kind=f"kind {number}") for number in range(1000))
    assert "960 more" in proof_svg(replace(stamp, findings=of_all_kinds))
    assert len(proof) < 400_000


@pytest.mark.parametrize("name", ["The Mossgate Seed Library and its members " * 6, "W" * 200])
def test_a_long_name_is_set_smaller_and_wrapped_and_never_cut(name: str, stamp: Stamp) -> None:
    name = name.strip()
    root = ElementTree.fromstring(proof_svg(replace(stamp, job=stamp.job.with_value("name", name))))
    told = [line.text for line in root.iter(f"{SVG}text") if float(line.get("font-size")) == 3.4]
    assert "".join(told).replace(" ", "") == name.replace(" ", "")
    assert "…" not in "".join(root.itertext())


def coded(side: float, module: float) -> Stamp:
    job = Job().with_values({"base.outline": "rectangle", "base.width": side, "base.height": side})
    lettered = {"kind": "lettering", "text": "sow", "cap_height": 3.0, "y": -side / 2.2}
    pieces = pieces_from_data([{"kind": "qr", "text": "MOSSGATE", "module": module}, lettered])
    return make_stamp(job, make_artwork(pieces, name="code"))


@pytest.mark.parametrize(("side", "most"), [(28.0, 2), (60.0, 1)])
def test_codes_scan_from_the_proof_with_all_its_marks(side: float, most: int) -> None:
    stamp = coded(side, 0.8)
    spots = stamp.impression.outlines.buffer(-0.05).geoms
    marked = tuple(
        Finding(kind="speck", severity="warns", stage="preflight", message="0.3 mm", place=part.centroid.buffer(0.3))
        for part in list(spots)[:30]
    )
    proof = proof_svg(replace(stamp, findings=marked))
    shown = Image.open(io.BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=proof, dpi=300, background="white"))))
    read = zxingcpp.read_barcodes(shown.convert("L"))
    assert [each.text for each in read] == ["MOSSGATE"] * most
    assert ("times as large" in proof) == (side < 30)


def test_marks_leave_the_ink_as_it_is(stamp: Stamp) -> None:
    spot = next(iter(stamp.impression.outlines.geoms)).representative_point().buffer(1.5)
    marked = replace(stamp, findings=(Finding(kind="k", severity="notes", stage="build", message="m", place=spot),))
    pictures = []
    for each in (marked, replace(stamp, findings=())):
        drawing = draw_impression(replace(each, repair=None))
        shown = resvg_py.svg_to_bytes(svg_string=inline_svg(drawing, label=""), dpi=25.4, zoom=8, background="white")
        tones = np.asarray(Image.open(io.BytesIO(bytes(shown))).convert("L"))
        pictures.append(int((tones < 60).sum()))
    # The ring is a hairline; what lies within it stays ink.
    assert pictures[0] > 0.98 * pictures[1]
