"""The whole job from Python: artwork in, a proven stamp out."""

import json

import pytest
import shapely
import stampwright
from shapely.geometry import MultiPolygon, Point, box
from stampwright import Artwork, ArtworkError, Cancelled, Job
from stampwright.layout import OUTLINES_THINNED, THINNING
from stampwright.preflight import THIN_LINE
from stampwright.workshop import examine_artwork, fitted_size, make_files, make_stamp


def artwork_of(*shapes: shapely.Geometry) -> Artwork:
    inked = shapely.union_all(shapes)
    inked = inked if isinstance(inked, MultiPolygon) else MultiPolygon([inked])
    _, _, right, top = inked.bounds
    return Artwork(inked=inked, page_size=(right, top), name="test")


@pytest.fixture(scope="module")
def mark() -> Artwork:
    """An arrow beside a dot: nothing about it is its own mirror image."""
    arrow = shapely.Polygon([(0, 4), (20, 4), (20, 0), (30, 7), (20, 14), (20, 10), (0, 10)])
    return artwork_of(arrow, Point(6, 20).buffer(4), box(22, 18, 28, 22))


@pytest.fixture(scope="module")
def stamp(mark):
    return make_stamp(Job(), mark)


def test_a_stamp_has_every_part_its_measures_and_its_impression(stamp):
    assert list(stamp.parts) == ["die", "backing", "handle"]
    assert set(stamp.measures) == {"die", "backing", "handle"}
    assert not stamp.blocked
    for name, part in stamp.parts.items():
        assert part.name == name
        assert part.volume > 0
        assert part.bounds[0][2] == 0.0
        assert stamp.measures[part.name].volume == pytest.approx(part.volume, rel=1e-12)


def test_the_die_has_the_volume_of_areas_times_heights(mark):
    # A plate 50 mm across and 2 mm thick with 2 mm relief and 0.2 mm for dressing (common practice); no shoulder.
    stamp = make_stamp(Job().with_values({"die.shoulder": 0.0, "die.chamfer": 0.0}), mark)
    expected = stamp.layout.base.area * 2.0 + stamp.inked.area * (2.0 + 0.2)
    assert stamp.die.volume == pytest.approx(expected, rel=1e-6)
    assert stamp.die.bounds[1][2] == pytest.approx(4.2)


def test_the_impression_reads_as_the_artwork(stamp):
    spread = stamp.job.ink.spread
    expected = stamp.inked.buffer(spread)
    common = stamp.impression.outlines.intersection(expected).area
    assert common / stamp.impression.outlines.union(expected).area > 0.999
    reversed_art = shapely.affinity.scale(expected, -1, 1, origin=(0, 0))
    assert stamp.impression.outlines.intersection(reversed_art).area / expected.area < 0.9


def test_a_stamp_that_findings_block_still_shows_its_parts():
    hair = make_stamp(Job(), artwork_of(box(0, 0, 40, 0.2), box(0, 5, 40, 15)))
    assert {finding.kind for finding in hair.blocked} == {THIN_LINE}
    assert hair.die.volume > 0


def test_repair_unblocks_and_says_what_it_did():
    art = artwork_of(box(0, 0, 40, 0.2), box(0, 5, 40, 15))
    mended = make_stamp(Job().with_value("preflight.repair", True), art)
    assert not mended.blocked
    assert mended.repair is not None
    assert mended.repair.added.area > 0
    assert mended.inked.equals(mended.repair.inked)


def test_a_kind_that_the_job_accepts_does_not_block():
    art = artwork_of(box(0, 0, 40, 0.2), box(0, 5, 40, 15))
    accepted = make_stamp(Job().with_value("preflight.accept", [THIN_LINE]), art)
    assert not accepted.blocked
    assert any(finding.kind == THIN_LINE for finding in accepted.findings)


def test_parts_that_the_job_does_without_are_none(mark):
    bare = make_stamp(Job().with_values({"backing.form": "one-piece", "handle.form": "none"}), mark)
    assert bare.backing is None
    assert bare.handle is None
    assert bare.die.bounds[1][2] == pytest.approx(4.2 + 4.0)
    with_cushion = make_stamp(Job().with_value("cushion.thickness", 2.0), mark)
    assert with_cushion.cushion is not None


def test_examining_tells_what_making_tells_before_anything_is_built(mark):
    hair = artwork_of(box(0, 0, 40, 0.2), box(0, 5, 40, 15))
    examined = {(finding.kind, finding.message) for finding in examine_artwork(Job(), hair)}
    made = {(finding.kind, finding.message) for finding in make_stamp(Job(), hair).findings}
    assert examined <= made
    assert THIN_LINE in {kind for kind, _ in examined}
    assert not examine_artwork(Job(), mark)


def test_progress_rises_and_raising_in_it_stops_the_work(tmp_path, mark):
    told: list[float] = []
    make_files(Job(), mark, tmp_path / "made", progress=lambda _step, share: told.append(share))
    assert told == sorted(told)
    assert told[0] == 0.0
    assert told[-1] < 1.0

    for stop_at in (0, len(told) // 2, len(told) - 1):
        steps = iter(range(len(told)))

        def stop(_step: str, _share: float, steps=steps, stop_at=stop_at) -> None:
            if next(steps) == stop_at:
                raise Cancelled("stopped by the test")

        with pytest.raises(Cancelled):
            make_files(Job(), mark, tmp_path / "stopped", progress=stop)
        assert not (tmp_path / "stopped").exists()


def test_what_is_written_is_proven_from_the_file(tmp_path, mark):
    stamp, written = make_files(Job(), mark, tmp_path)
    assert written is not None
    assert written.comparison.worst >= 0.99
    back = stampwright.read_mesh(tmp_path / "die.stl")
    pressed = stampwright.impress(back, depth=0.2)
    assert pressed.outlines.symmetric_difference(stamp.inked).area / stamp.inked.area < 0.01
    report = json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))
    assert report["version"] == stampwright.__version__
    assert report["proof"]["iou"] == written.comparison.iou


def test_a_blocked_stamp_leaves_the_folder_untouched(tmp_path):
    stamp, written = make_files(Job(), artwork_of(box(0, 0, 40, 0.2), box(0, 5, 40, 15)), tmp_path / "new")
    assert written is None
    assert stamp.blocked
    assert not (tmp_path / "new").exists()


def test_fitted_size_covers_the_ink_for_every_way_to_size_it(mark):
    for size_by in ("fit", "width", "height"):
        job = Job().with_values({"layout.size_by": size_by, "layout.width": 30.0, "layout.height": 30.0})
        left, bottom, right, top = make_stamp(job, mark).layout.inked.bounds
        assert max(right - left, top - bottom) <= fitted_size(job)


def test_outlines_of_too_many_points_are_thinned_and_it_is_said():
    fine = artwork_of(Point(20, 20).buffer(20, quad_segs=3000))
    stamp = make_stamp(Job().with_value("preflight.most_points", 2000), fine)
    (note,) = (finding for finding in stamp.findings if finding.kind == OUTLINES_THINNED)
    assert note.measured == 12001
    assert shapely.get_num_coordinates(stamp.inked) < 2000
    assert stamp.inked.hausdorff_distance(make_stamp(Job(), fine).inked) < THINNING + 0.001


def test_artwork_of_too_many_points_is_refused_with_the_way_to_raise_the_limit():
    rough = artwork_of(
        *(box(5 * column, 5 * row, 5 * column + 3, 5 * row + 3) for column in range(20) for row in range(20))
    )
    with pytest.raises(ArtworkError, match=r"preflight\.most_points"):
        make_stamp(Job().with_value("preflight.most_points", 1000), rough)
