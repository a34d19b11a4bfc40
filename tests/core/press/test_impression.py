"""An impression is what a mesh's face leaves on paper, and the comparison tells how true it is."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright import Artwork
from stampwright.errors import AlreadyThereError, JobError, MeshFileError
from stampwright.files import write_stl
from stampwright.job import Job
from stampwright.plane.frames import paper_to_die
from stampwright.press import compare, impress
from stampwright.solids import extrude, unite
from stampwright.solids.solid import Solid
from stampwright.workshop import make_die

RaiseDie = Callable[[MultiPolygon], Solid]


def kinds(impression: object) -> list[str]:
    return [finding.kind for finding in impression.findings]


def with_vertices(solid: Solid, vertices: np.ndarray) -> Solid:
    return Solid(solid.name, vertices, solid.triangles)


def test_impression_reads_as_the_artwork(raise_die: RaiseDie, lettered: MultiPolygon) -> None:
    impression = impress(raise_die(lettered))
    assert impression.outlines.symmetric_difference(lettered).area < 1e-9
    assert impression.outlines.is_valid
    assert not impression.findings


def test_the_die_itself_reads_reversed(raise_die: RaiseDie, lettered: MultiPolygon) -> None:
    seen_on_the_die = paper_to_die(impress(raise_die(lettered)).outlines)
    assert compare(seen_on_the_die, lettered).iou < 0.5


def test_the_picture_shows_the_outlines_upright(raise_die: RaiseDie, lettered: MultiPolygon) -> None:
    impression = impress(raise_die(lettered), dpi=254)
    rows, columns = impression.picture.shape
    left, bottom = impression.corner
    for x, y, ink in [(1, 5, True), (6, 5, True), (10, 5, False), (20, 5, True), (17, 0.5, True), (17.5, 8.5, False)]:
        tone = impression.picture[rows - 1 - math.floor((y - bottom) * 10), math.floor((x - left) * 10)]
        assert tone == (0 if ink else 255), (x, y)
    assert columns >= (21 + 6) * 10


def test_dressing_is_cut_away(raise_die: RaiseDie) -> None:
    # A wedge-topped bar: 10 long, 4 wide at height 4, 2 wide at height 5.
    wedge = trimesh.convex.convex_hull(
        [[x, s * w, z] for x in (0, 10) for s in (-1, 1) for w, z in ((2, 0), (2, 4), (1, 5))]
    )
    assert impress(wedge).outlines.area == pytest.approx(20)
    assert impress(wedge, depth=0.5).outlines.area == pytest.approx(30)
    assert impress(wedge, depth=0.5).outlines.bounds == pytest.approx((-10, -1.5, 0, 1.5))


def test_dressing_down_to_the_foot_of_the_prism_leaves_exactly_the_face(
    raise_die: RaiseDie, lettered: MultiPolygon
) -> None:
    foot = extrude(paper_to_die(lettered.buffer(0.4)), 1.0, 4.0, name="shoulder")
    die = unite([raise_die(lettered), foot], name="die")
    # 4.2 and 0.2 are no binary fractions: the level must still be taken as the 4 that was meant.
    assert impress(die, depth=0.2).outlines.symmetric_difference(lettered).area < 1e-9
    assert impress(die, depth=0.21).outlines.area == pytest.approx(lettered.buffer(0.4).area, rel=1e-3)


def test_spread_widens_by_the_same_on_every_edge(raise_die: RaiseDie) -> None:
    spread = impress(raise_die(MultiPolygon([box(0, 0, 30, 20)])), spread=2.0)
    # Steiner's formula for convex bodies: A + P r + pi r^2.
    assert spread.outlines.area == pytest.approx(600 + 100 * 2 + math.pi * 4, rel=1e-4)
    assert spread.outlines.bounds == pytest.approx((-2, -2, 32, 22))


def test_shapes_that_touch_in_a_point_keep_their_area() -> None:
    corners = [(0, 0), (5, 0), (5, 5), (0, 5)]
    points = np.array([(*corner, 1.0) for corner in corners] + [(x + 5, y + 5, 1.0) for x, y in corners[1:]])
    sheet = Solid("sheet", points, np.array([[0, 1, 2], [0, 2, 3], [2, 4, 5], [2, 5, 6]]))
    outlines = impress(sheet).outlines
    assert outlines.is_valid
    assert outlines.area == 50
    assert len(outlines.geoms) == 2


def test_a_counter_that_touches_its_outline_in_a_point_stays_a_counter() -> None:
    outer, inner = [(0, 0), (10, 0), (10, 10), (0, 10)], [(5, 0), (7, 4), (3, 4)]
    region = box(0, 0, 10, 10).difference(Polygon(inner))
    triangles = list(shapely.constrained_delaunay_triangles(region).geoms)
    soup = np.array([[(x, y, 0.0) for x, y in part.normalize().exterior.coords[:3]][::-1] for part in triangles])
    mesh = trimesh.Trimesh(soup.reshape(-1, 3), np.arange(len(soup) * 3).reshape(-1, 3), process=False)
    outlines = impress(mesh).outlines
    assert outlines.is_valid
    assert outlines.area == pytest.approx(Polygon(outer).area - Polygon(inner).area)


def test_overlapping_and_unmatched_triangles_print_their_union() -> None:
    points = np.array([(0, 0, 1), (8, 0, 1), (8, 8, 1), (0, 8, 1), (4, 0, 1), (2, 6, 1), (12, 6, 1), (12, 2, 1.0)])
    triangles = np.array([[0, 4, 3], [1, 2, 3], [4, 1, 3], [0, 1, 3], [4, 7, 6]])
    outlines = impress(Solid("soup", points, triangles)).outlines
    square, beside = box(-8, 0, 0, 8), Polygon([(-4, 0), (-12, 2), (-12, 6)])
    assert outlines.area == pytest.approx(square.union(beside).area)


@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_any_raised_region_comes_back_as_it_was(data: st.DataObject) -> None:
    spots = data.draw(
        st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9), st.integers(1, 4)), min_size=1, max_size=7)
    )
    bare = data.draw(st.lists(st.tuples(st.integers(-9, 9), st.integers(-9, 9)), max_size=4))
    inked = shapely.union_all([box(x, y, x + size + 0.5, y + size) for x, y, size in spots])
    inked = inked.difference(shapely.union_all([box(x - 0.25, y - 0.3, x + 0.75, y + 0.7) for x, y in bare]))
    inked = shapely.set_precision(inked.buffer(0.05, join_style="mitre").buffer(0), 2.0**-12)
    regions = MultiPolygon([part for part in shapely.get_parts(inked) if part.area > 0])
    die = unite(
        [
            extrude(box(-20, -20, 20, 20), 0.0, 2.0, name="floor"),
            extrude(paper_to_die(regions), 1.0, 4.0, name="relief"),
        ],
        name="die",
    )
    for depth in (0.0, 0.5):
        outlines = impress(die, dpi=100, depth=depth).outlines
        assert outlines.is_valid
        assert outlines.symmetric_difference(regions).area < 1e-6


def test_an_open_mesh_prints_its_flat_top(raise_die: RaiseDie, lettered: MultiPolygon) -> None:
    die = raise_die(lettered)
    upper = die.triangles[die.vertices[die.triangles, 2].max(axis=1) > 1]
    assert compare(impress(Solid("open", die.vertices, upper)), lettered).worst > 0.999999


def test_a_mesh_open_at_the_cut_is_looked_at_from_above(raise_die: RaiseDie, lettered: MultiPolygon) -> None:
    die = raise_die(lettered)
    torn = Solid("torn", die.vertices, np.delete(die.triangles, np.flatnonzero(_walls(die))[0], axis=0))
    impression = impress(torn, depth=0.5)
    assert kinds(impression) == ["ragged mesh"]
    assert compare(impression, lettered).iou > 0.98


def _walls(die: Solid) -> np.ndarray:
    heights = die.vertices[die.triangles, 2]
    return (heights.min(axis=1) < 3) & (heights.max(axis=1) > 4)


def test_two_shells_through_each_other_print_as_one() -> None:
    one, other = extrude(box(0, 0, 10, 10), 0, 4, name="one"), extrude(box(5, 5, 15, 15), 1, 4.5, name="other")
    both = Solid(
        "both",
        np.vstack([one.vertices, other.vertices]),
        np.vstack([one.triangles, other.triangles + len(one.vertices)]),
    )
    assert impress(both).outlines.area == pytest.approx(100)
    assert impress(both, depth=1.0).outlines.area == pytest.approx(175, rel=0.005)


def test_an_uneven_face_prints_what_lies_near_its_highest_point() -> None:
    radius = 20.0
    impression = impress(trimesh.creation.icosphere(5, radius))
    # A section 0.1 mm under the pole of a sphere: pi (2 R h - h^2).
    assert impression.outlines.area == pytest.approx(math.pi * (2 * radius * 0.1 - 0.01), rel=0.05)
    assert kinds(impression) == ["uneven face"]
    assert not impress(trimesh.creation.icosphere(5, radius), depth=1.0).findings


def test_a_mesh_inside_out_prints_the_same(raise_die: RaiseDie, lettered: MultiPolygon) -> None:
    die = raise_die(lettered)
    turned = Solid("inside out", die.vertices, die.triangles[:, ::-1])
    assert compare(impress(turned), lettered).worst > 0.999999


def test_a_mesh_with_faces_serves_as_well_as_one_with_triangles(raise_die: RaiseDie, lettered: MultiPolygon) -> None:
    die = raise_die(lettered)
    outlines = impress(trimesh.Trimesh(die.vertices, die.triangles)).outlines
    assert compare(outlines, lettered).worst > 0.999999


def test_a_plain_block_prints_a_patch_and_says_so() -> None:
    impression = impress(trimesh.creation.box((20, 10, 4)))
    assert impression.outlines.area == pytest.approx(200)
    assert kinds(impression) == ["no relief"]


def test_a_die_lying_face_down_is_refused(raise_die: RaiseDie, lettered: MultiPolygon) -> None:
    die = raise_die(lettered)
    with pytest.raises(MeshFileError, match="face down"):
        impress(with_vertices(die, die.vertices * [1, -1, -1]))


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda points: points / 1000, "millimetres"),
        (lambda points: points * 1e5, "millimetres"),
        (lambda points: points * 1e300, "millimetres"),
        (lambda points: points + 1e6, "move it to the origin"),
        (lambda points: np.where(points > 4, np.nan, points), "finite"),
    ],
)
def test_absurd_meshes_are_refused_in_one_line(
    change: Callable[[np.ndarray], np.ndarray], message: str, raise_die: RaiseDie, lettered: MultiPolygon
) -> None:
    die = raise_die(lettered)
    with pytest.raises(MeshFileError, match=message) as caught:
        impress(with_vertices(die, change(die.vertices)))
    assert "\n" not in str(caught.value)


def test_empty_and_broken_meshes_are_refused() -> None:
    with pytest.raises(MeshFileError, match="empty"):
        impress(Solid("empty", np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int32)))
    with pytest.raises(MeshFileError, match="does not have"):
        impress(Solid("broken", np.eye(3), np.array([[0, 1, 7]])))
    with pytest.raises(MeshFileError, match="no face"):
        impress(Solid("wall", np.array([[0, 0, 0], [9, 0, 0], [9, 0, 5.0]]), np.array([[0, 1, 2]])))


@pytest.mark.parametrize("figures", [{"dpi": 0}, {"dpi": 1e9}, {"spread": -1}, {"spread": math.nan}, {"depth": 1e9}])
def test_absurd_figures_are_refused(figures: dict[str, float], raise_die: RaiseDie, lettered: MultiPolygon) -> None:
    with pytest.raises(JobError, match="not allowed"):
        impress(raise_die(lettered), **figures)


def test_dressing_away_the_whole_die_is_refused(raise_die: RaiseDie, lettered: MultiPolygon) -> None:
    with pytest.raises(MeshFileError, match="dressing"):
        impress(raise_die(lettered), depth=5.0)


def test_comparison_counts_missing_and_stray_ink() -> None:
    inked, printed = MultiPolygon([box(0, 0, 10, 10)]), MultiPolygon([box(1, 0, 12, 10)])
    result = compare(printed, inked)
    assert (result.missing, result.stray) == pytest.approx((10, 20))
    assert result.iou == pytest.approx(90 / 120)
    assert result.raster_iou == pytest.approx(90 / 120, abs=1e-3)
    assert result.worst == min(result.iou, result.raster_iou)


def test_parts_that_are_the_same_count_as_if_they_were_overlaid() -> None:
    alike = [Point(30, 0).buffer(4), Point(45, 0).buffer(5).difference(Point(45, 0).buffer(2))]
    other_starts = [shapely.normalize(part) for part in reversed(alike)]
    inked, printed = MultiPolygon([box(0, 0, 10, 10), *alike]), MultiPolygon([*other_starts, box(1, 0, 12, 10)])
    result = compare(printed, inked)
    both, either = printed.intersection(inked).area, printed.union(inked).area
    assert result.iou == pytest.approx(both / either, rel=1e-9)
    assert result.raster_iou == pytest.approx(both / either, abs=1e-3)
    assert (result.missing, result.stray) == pytest.approx((inked.area - both, printed.area - both))
    assert not result.same
    assert compare(MultiPolygon(other_starts), MultiPolygon(alike)).same
    lacking = compare(MultiPolygon(alike[:1]), MultiPolygon(alike))
    assert lacking.iou == pytest.approx(lacking.raster_iou) == alike[0].area / (alike[0].area + alike[1].area)


def test_comparison_with_nothing() -> None:
    inked = MultiPolygon([Point(0, 0).buffer(5)])
    assert compare(MultiPolygon(), inked).worst == 0
    assert compare(MultiPolygon(), MultiPolygon()).worst == 1


def test_a_die_is_pressed_from_its_file_and_the_picture_saved(tmp_path, raise_die):
    block = raise_die(MultiPolygon([box(-8, -2, 10, 5)]))
    write_stl(tmp_path / "die.stl", block)
    impression = impress(tmp_path / "die.stl", dpi=150)
    assert impression.outlines.equals(impress(str(tmp_path / "die.stl"), dpi=150).outlines)
    assert impression.outlines.symmetric_difference(impress(block, dpi=150).outlines).area < 1e-3
    impression.save(tmp_path / "print.png")
    with Image.open(tmp_path / "print.png") as picture:
        assert picture.info["dpi"] == pytest.approx((150, 150), abs=0.1)
        assert np.array_equal(np.asarray(picture), impression.picture)
    with pytest.raises(AlreadyThereError) as caught:
        impression.save(tmp_path / "print.png")
    # What the command line calls its options is nothing to a caller from Python.
    assert "--" not in str(caught.value)
    impression.save(tmp_path / "print.png", overwrite=True)


@pytest.mark.parametrize("mesh", [None, 3, b"die.stl", {"vertices": []}, np.zeros((3, 3))])
def test_what_is_no_mesh_is_refused_in_one_line(mesh):
    with pytest.raises(MeshFileError, match="vertices and triangles"):
        impress(mesh)
    with pytest.raises(MeshFileError, match=r"none\.stl"):
        impress("none.stl")


@pytest.mark.parametrize("chamfer", [0.0, 0.4])
def test_a_die_that_lies_face_down_is_refused_whatever_its_edge(chamfer):
    job = Job().with_values({"die.chamfer": chamfer, "base.width": 14.0})
    die = make_die(job, Artwork(inked=MultiPolygon([box(0, 0, 6, 1), box(0, 3, 6, 4)]), page_size=(6.0, 4.0)))
    assert impress(die).outlines.area > 1
    with pytest.raises(MeshFileError, match="face down"):
        impress(Solid(vertices=die.vertices * np.array([1.0, -1.0, -1.0]), triangles=die.triangles, name="die"))
