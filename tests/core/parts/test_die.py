"""The die is reversed once, as high as the job says in whole layers, and its dressed face is the artwork."""

import math

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.artwork.svg import read_svg
from stampwright.errors import SolidError
from stampwright.face.drawing_in import draw_in
from stampwright.job import Job
from stampwright.plane.frames import on_grid
from stampwright.solids import section
from stampwright.workshop import make_die

from ..stages import die_of, outlines
from .conftest import crescent, flag, judged, leaning_drop, lobed

BASE = Point(0, 0).buffer(25, quad_segs=64)


def mirrored(region: shapely.Geometry) -> shapely.Geometry:
    return affinity.scale(region, -1, 1, origin=(0, 0))


def alike(one: shapely.Geometry, other: shapely.Geometry) -> float:
    return one.intersection(other).area / one.union(other).area


def test_face_is_the_artwork_reversed_once() -> None:
    die = die_of(Job(), flag(), BASE)
    # Anywhere in the dressing allowance, from the finished face up.
    for height in (4.0 + 1e-6, 4.1, 4.19):
        face = section(die, height)
        assert alike(face, mirrored(flag())) > 0.9999
        assert alike(face, flag()) < 0.8


def test_job_sets_every_height() -> None:
    job = Job().with_values(
        {"die.floor": 1.4, "die.relief": 1.6, "die.dressing": 0.4, "die.shoulder": 0, "die.chamfer": 0}
    )
    die = die_of(job, on_grid(flag()), on_grid(BASE))
    assert np.unique(die.vertices[:, 2]) == pytest.approx([0, 1.4, 3.4], abs=1e-6)
    assert judged(die).volume == pytest.approx(on_grid(BASE).area * 1.4 + on_grid(flag()).area * 2.0, rel=1e-6)


def test_heights_are_whole_layers() -> None:
    die = die_of(Job().with_values({"printer.layer": 0.15, "die.relief": 1.9}), flag(), BASE)
    assert die.bounds[1][2] == pytest.approx((13 + 13 + 1) * 0.15, abs=1e-6)


def test_one_piece_backing_is_the_lower_part_of_the_die() -> None:
    alone = die_of(Job(), flag(), BASE)
    whole = die_of(Job().with_value("backing.form", "one-piece"), flag(), BASE)
    assert whole.bounds[1][2] == pytest.approx(alone.bounds[1][2] + 4.0, abs=1e-6)
    assert judged(whole).volume - alone.volume == pytest.approx(on_grid(BASE).area * 4.0, rel=1e-5)


def test_shoulder_gives_lines_a_broader_foot() -> None:
    line = MultiPolygon([box(-15, -0.3, 15, 0.3)])
    die = die_of(Job().with_value("die.shoulder", 20), line, BASE)
    # Just above the floor the 0.6 mm line has grown by 2 tan 20° mm on either side.
    left, bottom, right, top = section(die, 2.001).bounds
    assert top - bottom == pytest.approx(0.6 + 2 * 2 * math.tan(math.radians(20)), abs=2e-3)
    assert right - left == pytest.approx(30 + 2 * 2 * math.tan(math.radians(20)), abs=2e-3)


def test_thin_counter_stays_open_at_the_dressed_face() -> None:
    ring = MultiPolygon([Point(0, 0).buffer(3).difference(Point(0, 0).buffer(0.25))])
    die = die_of(Job(), ring, BASE)
    # The flanks of a counter 0.5 mm across meet 0.25 / tan 15° = 0.93 mm under the face.
    assert len(section(die, 4.0 - 0.5).geoms[0].interiors) == 1
    assert len(section(die, 4.0 - 1.0).geoms[0].interiors) == 0


def test_artwork_off_the_base_is_refused() -> None:
    with pytest.raises(SolidError, match="artwork on the base is empty"):
        die_of(Job(), MultiPolygon([box(30, 30, 40, 40)]), BASE)


def test_spread_is_taken_off_the_face() -> None:
    job = Job().with_values({"die.compensate_spread": True, "ink.spread": 0.1})
    square = MultiPolygon([box(-5, -5, 5, 5)])
    assert outlines(job, square).area == pytest.approx(9.8**2, rel=1e-9)
    assert outlines(Job(), square) is square
    assert section(die_of(job, square, BASE), 4.1).area == pytest.approx(9.8**2, rel=1e-3)


@pytest.mark.parametrize(("width", "left"), [(2.0, 1.8), (0.55, 0.4), (0.45, 0.4), (0.3, 0.3)])
def test_lines_drawn_in_keep_the_least_width(width: float, left: float) -> None:
    line = MultiPolygon([box(0, 0, 20, width)])
    drawn = draw_in(line, 0.1, least_width=0.4)
    _, bottom, _, top = drawn.intersection(box(8, -1, 12, 3)).bounds
    # Drawn in by quarters of the spread: at least what is wanted, at most one quarter per side more.
    assert left - 1e-9 <= top - bottom <= left + 2 * 0.1 / 4 + 1e-9


def test_thin_line_stays_joined_to_the_block_it_comes_from() -> None:
    art = MultiPolygon([box(-5, -5, 0, 5).union(box(-1, -0.15, 10, 0.15))])
    drawn = draw_in(art, 0.1, least_width=0.4)
    assert len(drawn.geoms) == 1
    assert drawn.bounds[2] == pytest.approx(10, abs=0.11)
    assert art.buffer(1e-6).contains(drawn)


def frustum(outline: Polygon, by: float) -> float:
    """Return what a chamfer takes off a prism over an outline, mm³: the prism less the frustum, by Simpson's rule."""
    inner, middle = (outline.buffer(-share * by, join_style="mitre").area for share in (1.0, 0.5))
    return by * outline.area - by / 6.0 * (outline.area + 4.0 * middle + inner)


@pytest.mark.parametrize("chamfer", [0.2, 0.4, 1.0])
@pytest.mark.parametrize(
    "base",
    [
        box(-20, -12, 20, 12),
        Point(0, 0).buffer(25, quad_segs=64),
        # A notch, and a corner sharper than a right angle.
        Polygon([(-20, -15), (20, -15), (20, 15), (3, 15), (0, 5), (-3, 15), (-20, 15)]),
    ],
    ids=["rectangle", "round", "notched"],
)
def test_lower_edge_is_chamfered_by_what_a_frustum_leaves(base: Polygon, chamfer: float) -> None:
    mark, base = on_grid(MultiPolygon([box(-8, -9, 8, -3)])), on_grid(base)
    plain = die_of(Job().with_value("die.chamfer", 0.0), mark, base)
    die = die_of(Job().with_value("die.chamfer", chamfer), mark, base)
    assert judged(die).volume == pytest.approx(die.volume, rel=1e-6)
    assert plain.volume - die.volume == pytest.approx(frustum(base, chamfer), rel=2e-3)
    assert section(die, 1e-4).area == pytest.approx(base.buffer(-chamfer, join_style="mitre").area, rel=1e-3)
    assert section(die, chamfer + 0.01).area == pytest.approx(base.area, rel=1e-6)
    assert np.array_equal(die.bounds, plain.bounds)


@pytest.mark.parametrize("base", [lobed(), crescent(), leaning_drop()], ids=["lobed", "crescent", "drop"])
def test_any_base_is_chamfered_soundly(base: Polygon) -> None:
    mark = MultiPolygon([base.buffer(-4)]) if base.buffer(-4).geom_type == "Polygon" else base.buffer(-4)
    die = die_of(Job().with_value("die.chamfer", 1.0), on_grid(mark), on_grid(base))
    assert judged(die).volume > 0
    assert section(die, 0.5).area == pytest.approx(base.buffer(-0.5, join_style="mitre").area, rel=3e-3)


def test_a_chamfer_leaves_half_of_the_floor() -> None:
    die = die_of(Job().with_values({"die.floor": 0.4, "die.chamfer": 3.0}), flag(), BASE)
    assert section(die, 0.21).area == pytest.approx(on_grid(BASE).area, rel=1e-6)
    judged(die)


BOARD = "".join(
    f'<rect x="{4 + 0.6 * (n % 40)}" y="{4 + 0.6 * (n // 40)}" width=".6" height=".6"/>'
    for n in range(1200)
    if (n + n // 40) % 2
)
MOONS = "".join(
    f'<path fill-rule="evenodd" d="M{x} 20 a3 3 0 1 0 6 0 a3 3 0 1 0 -6 0 M{x + 0.1} 20.2 a2.9 2.8 0 1 0 5.8 0'
    ' a2.9 2.8 0 1 0 -5.8 0"/>'
    for x in (6, 14, 22, 30)
)


@pytest.mark.parametrize("body", [BOARD, MOONS], ids=["board", "moons"])
def test_drawn_ink_that_meets_itself_in_many_points_is_built(body: str) -> None:
    """Squares that meet at their corners; rings whose hole touches their edge."""
    page = f'<svg xmlns="http://www.w3.org/2000/svg" width="46mm" height="46mm" viewBox="0 0 46 46">{body}</svg>'
    artwork = read_svg(page.encode())
    die = make_die(Job().with_value("layout.size_by", "page"), artwork)
    assert die.soundness.sound
    assert section(die, 4.0).area == pytest.approx(artwork.inked.area, rel=0.02)
