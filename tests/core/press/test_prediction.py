"""From a die's mesh and its job to what it will print."""

from types import SimpleNamespace

import numpy as np
import pytest
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, box
from stampwright.errors import MeshFileError, PressError
from stampwright.face import FaceMap
from stampwright.job import Job
from stampwright.press import compare, report_press
from stampwright.press.faces.printed import face_of
from stampwright.press.prediction import predict_print

from ..stages import dense_die, pressed_uneven

DPI = 254.0


def test_face_of_a_die_reads_as_the_artwork(raise_die, lettered):
    face = face_of(raise_die(lettered), dpi=DPI, dressing=0.2)
    assert face.relief == pytest.approx(2.0, abs=0.01)
    assert face.face_area == pytest.approx(lettered.area, rel=0.02)
    assert np.median(face.height[face.face]) == pytest.approx(0.2, abs=1e-5)
    assert np.median(face.height[~face.face & np.isfinite(face.height)]) == pytest.approx(-2.0, abs=1e-5)
    # Paper frame: ink is where the artwork has it, not its mirror image.
    row, column = np.nonzero(face.face)
    assert face.x[column].mean() == pytest.approx(lettered.centroid.x, abs=0.1)
    assert face.y[row].mean() == pytest.approx(lettered.centroid.y, abs=0.1)


def test_dressed_die_prints_its_artwork_whole(raise_die, lettered):
    job = Job().with_value("ink.spread", 0.0)
    prediction = predict_print(job, raise_die(lettered), lettered, dpi=508)
    assert prediction.pressing.printed_share(job.ink.solid_from) > 0.98
    assert compare(prediction.impression, lettered).worst > 0.96
    assert not {finding.kind for finding in prediction.findings} & {"missing", "printed light", "stray"}


def test_undressed_die_prints_light_and_says_where(raise_die, lettered):
    spread_out = MultiPolygon(affinity.scale(lettered, 2, 2, origin=(0, 0)))
    job = Job().with_values({"press.dressing_done": 0.0, "press.bow": 0.2})
    prediction = predict_print(job, raise_die(spread_out), spread_out, dpi=DPI)
    kinds = [finding.kind for finding in prediction.findings]
    assert "missing" in kinds
    places = [finding.place for finding in prediction.findings if finding.kind == "missing"]
    assert all(place.intersects(spread_out) for place in places)
    assert prediction.verdict.missing > 0.1 * spread_out.area


@pytest.mark.parametrize("solver", ["quick", "full"])
def test_off_centre_push_prints_light_on_the_far_side(raise_die, solver):
    bars = MultiPolygon([box(-18, y, 18, y + 1) for y in (-10, -5, 0, 5, 10)])
    job = Job().with_values({"press.solver": solver, "press.force": 20.0, "press.off_centre_x": 9.0})
    prediction = predict_print(job, raise_die(bars), dpi=127.0)
    faults = [finding for finding in prediction.findings if finding.kind in ("missing", "printed light")]
    assert faults
    assert all(finding.place.centroid.x < 0 for finding in faults)


def test_without_artwork_its_own_face_is_taken(raise_die, lettered):
    prediction = predict_print(Job(), raise_die(lettered), dpi=DPI)
    assert not {finding.kind for finding in prediction.findings} & {"missing", "stray"}


def test_sculpted_face_keeps_its_own_heights(raise_die, lettered):
    solid = raise_die(lettered)
    vertices = solid.vertices.copy()
    top = vertices[:, 2] > 4.0
    vertices[top, 2] -= 0.01 * np.abs(vertices[top, 0])
    sculpted = SimpleNamespace(vertices=vertices, triangles=solid.triangles)
    face = face_of(sculpted, dpi=DPI, dressing=0.5)
    assert np.ptp(face.height[face.face]) == pytest.approx(0.2, abs=0.05)
    prediction = predict_print(Job(), sculpted, allowance=0.5, textured=False, dpi=DPI)
    assert prediction.pressing.printed_share(0.02) > 0.98


class TestUnevenFace:
    """A face meant to be uneven: ripples 0.3 mm deep across a disc, on a mesh dense enough to bear them."""

    MEANT = MultiPolygon([Point(0, 0).buffer(9, quad_segs=32)])

    @pytest.fixture(scope="class")
    @classmethod
    def rippled(cls):
        across = np.arange(-11.0, 11.0, 0.1)
        heights = np.tile(-0.15 + 0.15 * np.cos(2.0 * np.pi * across / 4.0), (len(across), 1)).astype(np.float32)
        sculpt = FaceMap(heights, (-11.05, -11.05), 0.1)
        return dense_die(Job(), cls.MEANT, box(-12, -12, 12, 12), sculpt=sculpt).solid

    def test_crests_print_and_valleys_do_not(self, rippled):
        printed = pressed_uneven(Job().with_value("press.dressing_done", 0.0), rippled, self.MEANT, dpi=DPI)
        middle = printed.picture[printed.picture.shape[0] // 2] / 255.0
        x = printed.corner[0] + (np.arange(len(middle)) + 0.5) * 0.1
        assert middle[np.abs(x) < 0.2].max() < 0.3
        assert middle[np.abs(x - 2.0) < 0.2].min() > 0.9
        assert middle[np.abs(x - 4.0) < 0.2].max() < 0.3

    def test_harder_push_prints_more_of_it(self, rippled):
        job = Job().with_value("press.dressing_done", 0.0)
        areas = [
            pressed_uneven(job.with_value("press.force", force), rippled, self.MEANT, dpi=DPI).outlines.area
            for force in (10.0, 60.0, 200.0)
        ]
        assert areas == sorted(areas)
        assert areas[0] < 0.5 * areas[-1]

    def test_dressed_to_the_valleys_it_prints_whole(self, rippled):
        printed = pressed_uneven(Job(), rippled, self.MEANT, allowance=0.31, dpi=DPI)
        assert printed.outlines.area > 0.98 * self.MEANT.area

    def test_valleys_count_as_meant_and_are_told_to_be_missing(self, rippled):
        job = Job().with_value("press.dressing_done", 0.0)
        prediction = predict_print(job, rippled, self.MEANT, meant=self.MEANT, textured=False, dpi=DPI)
        assert prediction.face.face_area == pytest.approx(self.MEANT.area, rel=0.01)
        assert prediction.verdict.missing > 0.2 * self.MEANT.area

    def test_flank_beside_the_edge_stays_below(self, rippled):
        face = face_of(rippled, dpi=600, meant=self.MEANT)
        # The deepest valley lies 0.3 mm down; seen from above, the pixels at the edge are no deeper.
        assert face.height[face.face].min() > -0.32
        assert face.height.max() < 1e-3


def test_hard_push_on_slim_lines_crushes_and_bends_them(raise_die):
    lines = MultiPolygon([box(0, y, 10, y + 0.4) for y in range(0, 12, 3)])
    job = Job().with_values({"press.force": 90.0, "press.pressure": 100.0})
    found = {finding.kind: finding for finding in predict_print(job, raise_die(lines), dpi=DPI).findings}
    assert "relief bends over" in found
    assert found["relief bends over"].place.intersects(lines)
    assert "relief crushed" in found


def test_a_small_face_is_pushed_no_harder_than_a_hand_bears(raise_die):
    die = raise_die(MultiPolygon([box(0, 0, 4, 5)]))
    prediction = predict_print(Job(), die, dpi=DPI)
    # 0.5 MPa on 20 mm².
    assert prediction.pressing.force == pytest.approx(10.0, rel=0.03)
    (told,) = [finding for finding in prediction.findings if finding.kind == "pushed lightly"]
    assert "assumed to stop at 0.5 MPa" in told.message
    harder = predict_print(Job().with_value("press.pressure", 5.0), die, dpi=DPI)
    assert harder.pressing.force == pytest.approx(60.0)
    assert "pushed lightly" not in {finding.kind for finding in harder.findings}


def test_open_mesh_is_pressed_all_the_same_and_says_so(raise_die, lettered):
    solid = raise_die(lettered)
    heights = solid.vertices[solid.triangles, 2]
    flank = np.flatnonzero((heights.min(axis=1) < 4.0) & (heights.max(axis=1) > 4.1))
    holed = SimpleNamespace(vertices=solid.vertices, triangles=np.delete(solid.triangles, flank[:2], axis=0))
    prediction = predict_print(Job(), holed, lettered, dpi=DPI)
    found = {finding.kind: finding for finding in prediction.findings}
    assert "ragged mesh" in found
    # Two triangles side by side are gone: each hole's edge has four sides at most.
    assert 4 <= found["open mesh"].measured <= 6
    assert prediction.pressing.printed_share(0.02) > 0.95


def test_holes_in_a_flat_face_are_told_and_print_nothing(raise_die, lettered):
    solid = raise_die(lettered)
    top = np.flatnonzero(solid.vertices[solid.triangles, 2].min(axis=1) > 4.1)
    holed = SimpleNamespace(vertices=solid.vertices, triangles=np.delete(solid.triangles, top[::3], axis=0))
    prediction = predict_print(Job(), holed, lettered, allowance=0.0, dpi=DPI)
    assert "open mesh" in {finding.kind for finding in prediction.findings}
    assert prediction.impression.outlines.area < 0.95 * lettered.area
    assert report_press(Job(), holed, allowance=0.0, dpi=100).about_face[0].kind == "open mesh"


class TestRefusals:
    def test_flat_sheet_has_no_relief(self, raise_die):
        plate = box(0, 0, 20, 20)
        flat = SimpleNamespace(
            vertices=np.array([[x, y, z] for z in (0, 2) for x, y in list(plate.exterior.coords)[:4]], float),
            triangles=np.array(
                [[0, 1, 2], [0, 2, 3], [4, 6, 5], [4, 7, 6]]
                + [[a, 4 + a, (a + 1) % 4] for a in range(4)]
                + [[(a + 1) % 4, 4 + a, 4 + (a + 1) % 4] for a in range(4)]
            ),
        )
        with pytest.raises((PressError, MeshFileError), match=r"no relief|face down"):
            predict_print(Job(), flat)

    def test_die_lying_face_down(self, raise_die, lettered):
        solid = raise_die(lettered)
        vertices = solid.vertices * np.array([1.0, -1.0, -1.0])
        with pytest.raises(MeshFileError, match="face down"):
            predict_print(Job(), SimpleNamespace(vertices=vertices, triangles=solid.triangles))

    def test_mesh_without_a_face(self, raise_die, lettered):
        solid = raise_die(lettered)
        top = solid.vertices[solid.triangles, 2].min(axis=1) > 4.1
        topless = SimpleNamespace(vertices=solid.vertices, triangles=solid.triangles[~top])
        for press in (predict_print, report_press):
            with pytest.raises(MeshFileError, match="open at its face"):
                press(Job(), topless, allowance=0.0)

    def test_empty_mesh(self):
        with pytest.raises(MeshFileError, match="empty"):
            predict_print(Job(), SimpleNamespace(vertices=np.empty((0, 3)), triangles=np.empty((0, 3), int)))

    def test_absurd_size(self, raise_die, lettered):
        solid = raise_die(lettered)
        with pytest.raises(MeshFileError, match="no size of a stamp"):
            predict_print(Job(), SimpleNamespace(vertices=solid.vertices * 1000, triangles=solid.triangles))

    def test_force_beyond_the_material(self, raise_die, lettered):
        job = Job().with_values({"press.force": 5000.0, "press.pressure": 100.0, "die.material": "tpu-85a"})
        with pytest.raises(PressError, match="takes up to"):
            predict_print(job, raise_die(MultiPolygon([box(0, 0, 3, 3)])), dpi=DPI)
