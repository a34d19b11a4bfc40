"""What a die stands on and what stands by it on the plate: named by its shape, and the die judged without it."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from stampwright.errors import ToolpathError
from stampwright.toolpaths import examine_toolpath, lay_beads, read_gcode
from stampwright.toolpaths.laid.flow import flow_of
from stampwright.toolpaths.laid.plate import find_things

from .slicing import Path, filling, moved, slice_mesh, write

FLOOR = shapely.box(98, 91, 122, 109)
"""Where the small die stands."""


@pytest.fixture
def found(tmp_path, expected):
    """Return a function from paths to what is found of them, notes as well."""

    def found(paths, *, told=expected, **style):
        path = tmp_path / "die.gcode"
        path.write_bytes(write(paths, **style))
        return examine_toolpath(read_gcode(path), told)

    return found


def kinds(examined, severities=("warns", "blocks")):
    return {finding.kind for finding in examined.findings if finding.severity in severities}


def lines_over(region, top, *, height=0.2, width=0.4, apart=0.357, turn=0.0):
    lines = filling(region.buffer(-width / 2), apart, turn)
    return [Path(tuple(line.coords), round(top, 4), height, width, wall=False) for line in lines]


def ring_round(region, top, away, width=0.4, height=0.2):
    points = shapely.get_coordinates(region.buffer(away, quad_segs=8).exterior)
    return Path(tuple(map(tuple, points.tolist())), round(top, 4), height, width, wall=True)


def on_raft(paths, gap, region=FLOOR, layers=((0.3, 1.0, 2.0), (0.25, 0.6, 0.8), (0.2, 0.4, 0.357))):
    """Return a die on a raft: broad lines far apart, finer ones, a solid layer, and a gap under the die."""
    top, raft = 0.0, []
    for number, (height, width, apart) in enumerate(layers):
        top += height
        raft += lines_over(region.buffer(3), top, height=height, width=width, apart=apart, turn=90.0 * (number % 2))
    return raft + [replace(path, top=round(path.top + top + gap, 4)) for path in paths]


@pytest.mark.parametrize("gap", [0.1, 0.2])
@pytest.mark.parametrize("job", [True, False], ids=["with its job", "alone"])
def test_a_raft_is_named_and_the_die_above_it_judged(found, paths, expected, gap, job):
    examined = found(on_raft(paths, gap), told=expected if job else None)
    (raft,) = [finding for finding in examined.findings if finding.kind == "raft to peel off"]
    assert kinds(examined) == set()
    assert raft.measured == pytest.approx(0.75 + gap, abs=0.01)
    assert len(examined.thing.layers) == 10
    assert examined.thing.layers[-1].top == pytest.approx(2.0)
    if job:
        assert examined.judgement.likeness.parts == (3, 3)


def test_what_is_spoiled_above_a_raft_is_found_all_the_same(found, paths):
    without = [path for path in paths if abs(path.top - 1.4) > 0.01]
    assert kinds(found(on_raft(without, 0.2))) == {"layer left out"}
    shifted = [moved(path, 0, 0.2) if abs(path.top - 1.4) < 0.01 else path for path in paths]
    assert "shifted layer" in kinds(found(on_raft(shifted, 0.2)))
    # Larger than it should be, it stands on no raft.
    large = [replace(path, top=round(path.top * 1.5, 4), height=0.3) for path in paths]
    examined = found(large)
    assert "wrong height" in kinds(examined)
    assert "raft to peel off" not in kinds(examined, ("notes",))


def test_a_die_and_another_thing_on_one_raft_are_two(found, paths):
    block = shapely.box(130, 92, 150, 108)
    other = [line for at in range(1, 16) for line in lines_over(block, 0.2 * at, turn=45.0 + 90 * (at % 2))]
    plate = on_raft([*paths, *other], 0.2, region=shapely.box(98, 91, 150, 109))
    examined = found(plate)
    assert "raft to peel off" in kinds(examined, ("notes",))
    assert examined.judgement.likeness.parts == (3, 3)
    assert examined.things == 2


@pytest.mark.parametrize("away", [1.5, 6.0], ids=["near", "far"])
@pytest.mark.parametrize("job", [True, False], ids=["with its job", "alone"])
def test_a_wall_round_the_die_is_none_of_it(found, paths, expected, away, job):
    wall = [ring_round(FLOOR, 0.2 * at, away) for at in range(1, 11)]
    told = expected if job else None
    examined, plain = found([*wall, *paths], told=told), found(paths, told=told)
    assert kinds(examined) == set()
    assert "wall round the die" in kinds(examined, ("notes",))
    assert examined.impression.outlines.area == pytest.approx(plain.impression.outlines.area, rel=1e-3)


def test_a_tower_beside_the_die_is_no_other_part(found, paths):
    tower = shapely.box(140, 95, 148, 103)
    layers = [line for at in range(1, 11) for line in lines_over(tower, 0.2 * at, apart=0.6, turn=90.0 * (at % 2))]
    layers += [ring_round(tower, 0.2 * at, -0.2) for at in range(1, 11)]
    examined = found([*paths, *layers])
    assert kinds(examined) == set()
    assert "purge tower" in kinds(examined, ("notes",))


@pytest.mark.parametrize("turn", [0, 90, 33])
def test_more_dies_of_one_kind_are_no_other_parts(found, stamp, paths, turn):
    others = slice_mesh(stamp.die, at=(150.0, 100.0), turn=turn)
    for plate in ([*paths, *others], sorted([*paths, *others], key=lambda path: path.top)):
        examined = found(plate)
        assert kinds(examined) == set()
        assert "more dies" in kinds(examined, ("notes",))


def test_a_skirt_near_the_die_is_no_brim(found, paths):
    examined = found([ring_round(FLOOR, 0.2, away) for away in (1.0, 1.35)] + paths)
    assert kinds(examined) == set()
    assert kinds(examined, ("notes",)) - kinds(found(paths), ("notes",)) == {"skirt"}


@pytest.mark.parametrize(("flow", "named"), [(0.9, "wrong feed"), (0.97, ""), (1.0, ""), (1.05, ""), (1.1, "")])
def test_a_tenth_less_is_told_and_a_little_more_is_not(found, paths, flow, named):
    assert kinds(found(paths, flow=flow)) == ({named} if named else set())


def test_a_first_layer_that_is_fed_more_swells_and_has_no_brim(found, paths):
    first = [replace(path, width=0.4 * 1.3) if path.top < 0.3 else path for path in paths]
    assert kinds(found(first)) == {"swollen first layer"}
    assert "brim to cut off" not in kinds(found(first), ("notes",))


def test_layers_of_any_height_have_beads_as_usual(found, stamp):
    # Sliced at heights that change, each section is what its own height makes it.
    thin, thick = slice_mesh(stamp.die, layer=0.1), slice_mesh(stamp.die, layer=0.3)
    plate = [path for path in thick if path.top < 0.7] + [path for path in thin if path.top > 0.65]
    assert "uneven bead" not in kinds(found(plate))


@pytest.mark.parametrize(("unfed", "named"), [(0.4, False), (0.8, False), (1.6, True)])
def test_a_loop_that_is_closed_unfed_is_no_open_seam(tmp_path, paths, expected, unfed, named):
    # What is pressed on in the nozzle comes out over the last millimetre, as slicers reckon with.
    file = tmp_path / "die.gcode"
    file.write_bytes(b"".join(write([_shortened(path, unfed)]) + _closing(path, unfed) for path in paths))
    assert (kinds(examine_toolpath(read_gcode(file), expected)) != set()) == named


def _is_cut(path, unfed):
    return path.wall and math.dist(*path.points[-2:]) > unfed + 0.1


def _shortened(path, unfed):
    if not _is_cut(path, unfed):
        return path
    one, other = np.array(path.points[-2:])
    return replace(path, points=(*path.points[:-1], tuple(other - (other - one) * unfed / math.dist(one, other))))


def _closing(path, unfed):
    x, y = path.points[-1]
    return f"G1 X{x:.4f} Y{y:.4f}\n".encode() if _is_cut(path, unfed) else b""


def test_numbers_in_inches_that_nothing_says_are_said(tmp_path, paths, expected):
    file = tmp_path / "die.gcode"
    file.write_bytes(write(paths, feed=25.4, digits=7).replace(b"G20", b""))
    with pytest.raises(ToolpathError, match=r"layers of 0\.008 mm are none: its numbers seem to be inches"):
        examine_toolpath(read_gcode(file), expected)
    file.write_bytes(write(paths).replace(b"G21", b"G20").replace(b"F6000.0", b"F60").replace(b"F1200.0", b"F60"))
    with pytest.raises(ToolpathError, match=r"layers of 5\.08 mm are none"):
        examine_toolpath(read_gcode(file), expected)


def test_what_is_taken_for_said_is_told(tmp_path, paths, expected):
    file = tmp_path / "die.gcode"
    file.write_bytes(write(paths, relative=True).replace(b"M83", b""))
    examined = examine_toolpath(read_gcode(file), expected)
    assert kinds(examined) == set()
    assert "not said" in kinds(examined, ("notes",))


@pytest.mark.parametrize("waver", [0.0, 0.004])
def test_lines_that_waver_in_short_steps_are_fed_as_straight_ones(tmp_path, waver):
    block = shapely.box(100, 100, 110, 108)
    paths = [line for at in range(1, 5) for line in lines_over(block, 0.2 * at, turn=45.0 + 90 * (at % 2))]
    steps = [shapely.get_coordinates(shapely.segmentize(shapely.LineString(path.points), 0.06)) for path in paths]
    for points in steps:
        points[1:-1] += waver * np.sin(np.arange(1, len(points) - 1) * 2.1)[:, None]
    file = tmp_path / "die.gcode"
    file.write_bytes(
        write([replace(path, points=tuple(map(tuple, each))) for path, each in zip(paths, steps, strict=True)])
    )
    flow = flow_of(find_things(lay_beads(read_gcode(file)))[0])
    assert (flow.spacing, flow.share) == (pytest.approx(0.357, rel=0.02), pytest.approx(1.0, rel=0.03))


def test_ways_between_broad_lines_lie_nearer_than_lines_do(tmp_path):
    # Lines 0.7 mm apart, joined along the block's edge by ways that lie a quarter of that from the wall.
    block, paths = shapely.box(100, 100, 112, 109), []
    for layer in range(1, 5):
        paths.append(ring_round(block, 0.4 * layer, -0.4, width=0.8, height=0.4))
        ends = [np.array(line.coords) for line in filling(block.buffer(-0.6), 0.714, 45.0)]
        points = np.vstack(ends)
        paths.append(Path(tuple(map(tuple, points.tolist())), round(0.4 * layer, 4), 0.4, 0.8, wall=False))
    file = tmp_path / "die.gcode"
    file.write_bytes(write(paths))
    flow = flow_of(find_things(lay_beads(read_gcode(file)))[0])
    assert flow.spacing == pytest.approx(0.714, rel=0.03)
    assert not flow.is_off
