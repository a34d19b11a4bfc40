"""A job's textured face from beginning to end: made again when it must be, pressed light where it is low, and told."""

import numpy as np
import pytest
import shapely
from PIL import Image
from shapely.geometry import MultiPolygon, Point, box
from stampwright.artwork import Artwork
from stampwright.artwork.drawn import Faces, draw_artwork
from stampwright.errors import SolidError
from stampwright.face import FaceMap, dense_face
from stampwright.files import read_stl
from stampwright.job import Job
from stampwright.job.written.files import job_as_toml, job_from_toml, read_job
from stampwright.memory import Memory
from stampwright.plane.rasters.raster import MM_PER_INCH
from stampwright.solids import check_soundness
from stampwright.workshop import make_files, make_stamp

ART = Artwork(
    inked=MultiPolygon([Point(12, 12).buffer(10).difference(box(10, 10, 14, 14)), box(26, 2, 32, 22)]),
    page_size=(34, 24),
)
JOB = Job().with_values(
    {"handle.form": "none", "backing.form": "none", "layout.size_by": "page", "layout.centre": "bounds"}
)


def dented(depth: float, spacing: float = 0.2) -> FaceMap:
    """A map with a round hollow of 3 mm radius at (-11, 0), where the disc is."""
    count = round(50 / spacing)
    blank = FaceMap(np.zeros((count, count), dtype=np.float32), (-25.0, -25.0), spacing)
    away = np.hypot(*(blank.samples - (-11.0, 0.0)).T)
    return FaceMap((-depth * (away < 3)).astype(np.float32).reshape(count, count), blank.corner, spacing)


def kinds(findings) -> set[str]:
    return {finding.kind for finding in findings}


def test_plain_job_is_made_as_ever() -> None:
    stamp = make_stamp(JOB, ART)
    assert stamp.face is None
    assert len(stamp.die.triangles) < 2000


@pytest.mark.parametrize("sculpted", [True, False])
def test_art_of_metres_is_refused_by_a_textured_face_before_it_takes_the_memory(sculpted: bool) -> None:
    art = Artwork(inked=shapely.affinity.scale(ART.inked, 200, 200, origin=(0, 0)), page_size=(6800, 4800))
    job = JOB if sculpted else JOB.with_value("face.texture", "linen")
    assert make_stamp(JOB, art).face is None
    with pytest.raises(SolidError, match="mm is too large for a face with a texture or a sculpt"):
        make_stamp(job, art, sculpt=dented(0.2) if sculpted else None)


@pytest.mark.sweep(2)
@pytest.mark.parametrize("texture", ["wood-grain", "linen", "stipple", "hatching", "ripple"])
def test_grained_stamp_is_sound_proven_from_its_file_and_whole_outside_of_its_face(texture: str, tmp_path) -> None:
    plain = make_stamp(JOB, ART)
    stamp, written = make_files(JOB.with_value("face.texture", texture), ART, tmp_path)
    assert written is not None
    assert written.comparison.worst > 0.995
    assert written.surface.holds
    assert written.report["face"]["proof"]["points"] > 1000
    die = read_stl(tmp_path / "die.stl")
    assert check_soundness(die.vertices, die.triangles).sound
    assert (die.bounds[0] == plain.die.bounds[0]).all()
    assert (die.bounds[1] <= plain.die.bounds[1]).all()
    assert die.volume < plain.die.volume
    assert stamp.face.figures.deepest <= stamp.face.dense.depth + 1e-6


def test_impression_is_light_where_the_face_is_low() -> None:
    job = JOB.with_value("die.dressing", 0.0)
    stamp = make_stamp(job, ART, sculpt=dented(0.5))
    impression = stamp.impression

    def darkness(x: float, y: float) -> float:
        row = impression.picture.shape[0] - 1 - round((y - impression.corner[1]) * impression.dpi / MM_PER_INCH)
        column = round((x - impression.corner[0]) * impression.dpi / MM_PER_INCH)
        return 1 - float(impression.picture[row - 3 : row + 4, column - 3 : column + 4].mean()) / 255

    assert shapely.contains_xy(stamp.inked, -11, 0)
    assert shapely.contains_xy(stamp.inked, 12.5, 0)
    assert darkness(12.5, 0) > 0.9
    assert darkness(-11, 0) < 0.1


def test_sculpt_is_borne_again_when_artwork_size_or_shoulder_change() -> None:
    sculpt, places = dented(0.4), np.array([(-11.0, 0.0), (-11.0, 2.0)])
    for change in ({}, {"die.shoulder": 25.0}, {"layout.size_by": "fit"}, {"face.fineness": 3.0}):
        dense = make_stamp(JOB.with_values(change), ART, sculpt=sculpt).face.dense
        near = np.hypot(*(dense.places - places[0]).T) < 2
        z = dense.solid.vertices[dense.movable, 2][near] - dense.top
        assert near.any()
        assert z == pytest.approx(-0.4, abs=1e-5)


def test_sculpt_deeper_than_the_face_takes_is_borne_as_deep_as_it_goes_and_told() -> None:
    stamp = make_stamp(JOB.with_value("face.depth", 0.4), ART, sculpt=dented(0.8))
    finding = next(finding for finding in stamp.findings if finding.kind == "sculpt too deep")
    assert finding.place.area == pytest.approx(np.pi * 9, rel=0.1)
    assert stamp.face.figures.deepest == pytest.approx(0.4, abs=1e-5)
    assert "sculpt too deep" not in kinds(
        make_stamp(JOB.with_value("face.depth", 1.0), ART, sculpt=dented(0.8)).findings
    )


def test_only_what_has_changed_is_made_again() -> None:
    memory, job = Memory(), JOB.with_value("face.texture", "linen")
    first = make_stamp(job, ART, sculpt=dented(0.2), memory=memory)
    again = make_stamp(job.with_value("name", "other"), ART, sculpt=dented(0.2), memory=memory)
    assert again.die is first.die
    assert again.impression is first.impression
    bare = memory.last(dense_face)
    changed = make_stamp(job.with_value("face.scale", 3.0), ART, sculpt=dented(0.2), memory=memory)
    assert memory.last(dense_face) is bare
    assert changed.die is not first.die
    assert changed.impression is not first.impression


def test_dressing_is_told_with_what_it_takes_by_formula() -> None:
    # A hollow of even depth d loses the share t/d of its volume to dressing by t, and a little of its sloping rim.
    stamp = make_stamp(JOB.with_value("die.dressing", 0.2), ART, sculpt=dented(0.5))
    finding = next(finding for finding in stamp.findings if finding.kind == "dressing takes texture")
    assert finding.measured == pytest.approx(0.2 / 0.5, abs=0.03)
    assert stamp.face.figures.volume == pytest.approx(np.pi * 9 * 0.5, rel=0.05)
    assert "die.dressing = 0" in finding.remedy
    undressed = make_stamp(JOB.with_value("die.dressing", 0.0), ART, sculpt=dented(0.5))
    assert "dressing takes texture" not in kinds(undressed.findings)
    whole = make_stamp(JOB.with_values({"die.dressing": 0.4, "face.depth": 0.4}), ART, sculpt=dented(0.4))
    assert whole.face.figures.dressed_share == pytest.approx(1.0)


def test_texture_is_in_whole_layers() -> None:
    stamp = make_stamp(JOB.with_values({"face.texture": "ripple", "face.depth": 0.5, "printer.layer": 0.2}), ART)
    assert stamp.face.dense.depth == pytest.approx(0.6)
    assert any("face.depth = 0.5 mm becomes 0.6 mm" in finding.message for finding in stamp.findings)


def test_object_drawn_plain_stays_plain_beside_a_textured_one() -> None:
    def square(left: float, *, plain: bool) -> Faces:
        a, b, c, d = (left, 0.0), (left + 10, 0.0), (left + 10, 10.0), (left, 10.0)
        return Faces(np.array([[a, b, c], [a, c, d]]), plain=plain)

    art = draw_artwork([square(0.0, plain=True), square(15.0, plain=False)])
    dense = make_stamp(JOB.with_value("face.texture", "linen"), art).face.dense
    lowered = dense.solid.vertices[dense.movable, 2] < dense.top - 0.01
    # The ink's middle is at 12.5 mm: its left square ends 2.5 mm left of the middle.
    assert not lowered[dense.places[:, 0] < -2.4].any()
    assert lowered[dense.places[:, 0] > 2.6].mean() > 0.5


def test_job_with_a_texture_comes_back_from_its_file(tmp_path) -> None:
    values = {
        "face.texture": "stipple",
        "face.scale": 2.5,
        "face.turn": 30.0,
        "face.tone": "lines",
        "face.seed": 7,
    }
    job = JOB.with_values(values)
    assert job_from_toml(job_as_toml(job)) == job
    (tmp_path / "art").mkdir()
    (tmp_path / "job.toml").write_text(
        '[face]\ntexture = "picture"\npicture = "art/grey.png"\nsculpt = "art/hand.tif"\n'
    )
    read = read_job(tmp_path / "job.toml")
    assert read.face.picture == str((tmp_path / "art" / "grey.png").resolve())
    assert job_as_toml(read, folder=tmp_path).count('"art/') == 2


def test_picture_from_a_file_or_given_makes_the_same_stamp_and_goes_with_it(tmp_path) -> None:
    levels = (np.mgrid[0:80, 0:80][1] * 800).astype(np.uint16)
    Image.fromarray(levels).save(tmp_path / "grey.png")
    job = JOB.with_values({"face.texture": "picture", "face.picture": str(tmp_path / "grey.png")})
    read = make_stamp(job, ART)
    given = make_stamp(JOB.with_value("face.texture", "picture"), ART, picture=levels / 65535)
    assert np.abs(read.die.vertices - given.die.vertices).max() < 1e-5
    make_files(JOB.with_value("face.texture", "picture"), ART, tmp_path / "made", picture=levels / 65535)
    again = make_stamp(read_job(tmp_path / "made" / "job.json"), ART)
    assert np.abs(again.die.vertices - given.die.vertices).max() < 1e-5


def test_toned_stamp_is_proven_against_its_dots(tmp_path) -> None:
    grey = np.tile(np.linspace(0.1, 0.9, 100), (100, 1))
    job = JOB.with_values({"face.tone": "dots", "preflight.accept": ["speck"]})
    stamp, written = make_files(job, ART, tmp_path, picture=grey)
    assert stamp.face is None
    assert len(stamp.inked.geoms) > 15
    assert written is not None
    assert written.comparison.worst > 0.995
