"""A sliced die examined: what its beads print, and every way in which a file can be another than it should be."""

import json
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
import shapely
import trimesh
from shapely import affinity
from stampwright import make_stamp, read_artwork
from stampwright.cli import main
from stampwright.errors import ToolpathError
from stampwright.files.jobs import write_job
from stampwright.findings import blocking
from stampwright.job.materials import MATERIALS
from stampwright.plane.frames import paper_to_die
from stampwright.toolpaths import examine_toolpath, expected_of, read_gcode

from .dies import small_stamp
from .slicing import Path, filling, moved, scaled, section_at, slice_mesh, write, write_busily


@pytest.fixture
def examine(tmp_path, expected):
    """Return a function from paths to what is found of them."""

    def examine(paths, *, told=expected, **style):
        path = tmp_path / "die.gcode"
        path.write_bytes(write(paths, **style))
        return examine_toolpath(read_gcode(path), told)

    return examine


def kinds(examined):
    return {finding.kind for finding in examined.findings if finding.severity != "notes"}


def test_a_die_that_is_sliced_as_it_should_be_prints_its_art(examine, paths, expected):
    examined = examine(paths)
    assert kinds(examined) == set()
    assert (examined.face_layer, len(examined.thing.layers), examined.face_down) == (9, 10, False)
    assert examined.width == pytest.approx(0.4, abs=0.005)
    # The face is taken at half its layer, where the shoulder has begun to flare.
    assert examined.placing.edge == pytest.approx(0.026, abs=0.01)
    assert examined.placing.size == pytest.approx((1, 1), abs=5e-4)
    likeness = examined.judgement.likeness
    assert likeness.parts == (3, 3)
    assert likeness.printed_share > 0.995
    assert examined.volume == pytest.approx(sum(path.section * length(path) for path in paths), rel=1e-3)


def length(path: Path) -> float:
    return float(np.hypot(*np.diff(path.points, axis=0).T).sum())


@pytest.mark.sweep(3)
@pytest.mark.parametrize(
    "style",
    [
        {"relative": True},
        {"volumetric": True},
        {"feed": 25.4, "digits": 7},
        {"end": "\r\n", "head": "; made by nobody\n(layer height: 9)\n;kind:nothing"},
        {"digits": 3},
        {"digits": 2},
    ],
)
def test_how_a_file_is_written_does_not_matter(examine, paths, style):
    plain, other = examine(paths), examine(paths, **style)
    assert kinds(other) == set()
    common = other.impression.outlines.intersection(plain.impression.outlines).area
    assert common == pytest.approx(plain.impression.outlines.area, rel=0.02)
    assert other.volume == pytest.approx(plain.volume, rel=0.02)


@pytest.mark.sweep(2)
@pytest.mark.parametrize(
    "settings",
    [
        {"base.outline": "round", "base.width": 26.0, "base.height": 26.0, "layout.turn": 30.0},
        {"backing.form": "one-piece"},
        {"die.compensate_spread": True},
        {"face.texture": "wood-grain"},
    ],
    ids=lambda settings: next(iter(settings)),
)
def test_other_dies_are_sound_too(tmp_path, stamp, settings):
    other = make_stamp(stamp.job.with_values(settings), read_artwork(stamp.sources.file.name))
    path = tmp_path / "die.gcode"
    path.write_bytes(write(slice_mesh(other.die)))
    examined = examine_toolpath(read_gcode(path), expected_of(other))
    if "die.compensate_spread" in settings:
        # Drawn in, the ring is too broad for its walls and too narrow for what fills between them.
        assert kinds(examined) == {"gap in a wall"}
    else:
        assert kinds(examined) == set()
        assert examined.judgement.likeness.parts == (3, 3)


def test_whatever_else_a_machine_is_told_does_not_matter(examine, paths, expected, tmp_path):
    busy = tmp_path / "busy.gcode"
    busy.write_bytes(write_busily(paths))
    assert b"\nG3 " in busy.read_bytes() or b"\nG2 " in busy.read_bytes()
    other, plain = examine_toolpath(read_gcode(busy), expected), examine(paths)
    assert kinds(other) == set()
    common = other.impression.outlines.intersection(plain.impression.outlines).area
    assert common == pytest.approx(plain.impression.outlines.area, rel=0.005)
    assert len(other.thing.layers) == len(plain.thing.layers)
    assert other.duration.assumed == ""


@pytest.mark.sweep(2)
@pytest.mark.parametrize("turn", [90, 180, 270, 37])
def test_however_a_die_is_turned_it_is_laid_on_its_art(examine, stamp, turn):
    examined = examine(slice_mesh(stamp.die, turn=turn, at=(60, 150)))
    assert kinds(examined) == set()
    assert examined.placing.turn == pytest.approx(turn, abs=0.05)


@pytest.mark.parametrize(("percent", "said"), [(80, "leave gaps"), (100, ""), (125, "swell")])
def test_flow_that_the_machine_is_told_counts(examine, paths, percent, said):
    plain, examined = examine(paths), examine(paths, head=f"M221 S{percent}")
    assert examined.volume == pytest.approx(percent / 100 * plain.volume, rel=1e-4)
    told = [each.message for each in examined.findings if each.kind == "wrong feed"]
    assert bool(told) == bool(said)
    assert all(said in each for each in told)
    # As much is fed without the word by a file that feeds another share itself.
    assert examine(paths, flow=percent / 100).volume == pytest.approx(examined.volume, rel=1e-4)


def test_what_is_laid_in_a_spiral_is_refused_in_one_line(tmp_path, expected):
    around = [(100, 91), (120, 91), (120, 109), (100, 109)]
    climbs = [f"G1 X{x} Y{y} Z{0.2 + 0.05 * at:.2f} E0.6" for at, (x, y) in enumerate(around * 40)]
    spiral = tmp_path / "spiral.gcode"
    spiral.write_text("G90\nM83\nG0 X100 Y109 Z0.2\n" + "\n".join(climbs) + "\n")
    with pytest.raises(ToolpathError, match="spiral") as caught:
        examine_toolpath(read_gcode(spiral), expected)
    assert "\n" not in str(caught.value)


SPOILED = {
    "mirrored": lambda paths: [scaled(path, -1, 1) for path in paths],
    "wrong size": lambda paths: [scaled(path, 0.99, 0.99) for path in paths],
    "shifted layer": lambda paths: [moved(path, 0, 0.2) if abs(path.top - 1.4) < 0.01 else path for path in paths],
    "layer left out": lambda paths: [path for path in paths if abs(path.top - 1.4) > 0.01],
    "wrong height": lambda paths: [path for path in paths if path.top < 1.9],
    "face off its place": lambda paths: [moved(path, 0.4, 0) if path.top > 0.9 else path for path in paths],
    "off the bed": lambda paths: [moved(path, 200, 0) for path in paths],
}


@pytest.mark.parametrize("kind", SPOILED)
def test_what_is_spoiled_is_found(examine, paths, kind):
    assert kind in kinds(examine(SPOILED[kind](paths)))


def test_each_of_two_sizes_is_told(examine, paths):
    (finding,) = [
        each for each in examine([scaled(path, 1, 1.01) for path in paths]).findings if each.kind == "wrong size"
    ]
    assert finding.severity == "blocks"
    assert finding.measured == pytest.approx(1.01, abs=1e-3)


def test_a_file_that_makes_up_for_its_printer_is_true_to_size(examine, stamp):
    sizes = {"printer.size_across": 101.0, "printer.size_up": 99.5}
    other = make_stamp(stamp.job.with_values(sizes), read_artwork(stamp.sources.file.name))
    told = expected_of(other)
    assert kinds(examine(slice_mesh(other.printed["die"]), told=told)) == set()
    assert "wrong size" in kinds(examine(slice_mesh(stamp.die), told=told))


@pytest.mark.sweep(2)
@pytest.mark.parametrize("size", [1.06, 2.0, 0.5, 0.96])
def test_quite_another_size_is_told_as_one(examine, paths, size):
    found = [
        each for each in examine([scaled(path, size, size) for path in paths]).findings if each.kind == "wrong size"
    ]
    assert [finding.measured for finding in found] == [pytest.approx(size, rel=0.01)]


def test_a_mirrored_die_is_known_by_the_least_part_that_is_not_its_own_mirror_image(examine, stamp, expected):
    ring = shapely.Point(0, 0).buffer(8).difference(shapely.Point(0, 0).buffer(5))
    art = shapely.multipolygons([*shapely.get_parts(ring), shapely.box(2, 1, 3.5, 2)])
    body = solid_of(art, expected)
    told = replace(expected, face=art, given=replace(expected.given, inked=art))
    assert "mirrored" not in kinds(examine(slice_mesh(body), told=told))
    assert "mirrored" in kinds(examine([scaled(path, -1, 1) for path in slice_mesh(body)], told=told))
    turned = examine(slice_mesh(body, turn=143), told=told)
    assert kinds(turned) == set()
    assert turned.placing.turn == pytest.approx(143, abs=0.2)


def solid_of(art, expected):
    """Return a die with upright flanks, face up."""
    floor = trimesh.creation.extrude_polygon(expected.base, 0.8)
    parts = [trimesh.creation.extrude_polygon(part, 1.2) for part in paper_to_die(art).geoms]
    for part in parts:
        part.apply_translation((0, 0, 0.8))
    whole = trimesh.util.concatenate([floor, *parts])
    return SimpleNamespace(vertices=whole.vertices, triangles=whole.faces)


def test_every_line_that_is_dropped_from_the_face_is_found(examine, paths, sweep):
    face = [path for path in paths if abs(path.top - 1.8) < 0.01]
    beads = [shapely.LineString(path.points).buffer(path.width / 2) for path in face]
    for at in sweep(range(len(face)), quick=4):
        others = shapely.union_all(beads[:at] + beads[at + 1 :])
        # Walls of a narrow stroke overlap: where the others leave no gap that shows, nothing is missing.
        if beads[at].difference(others).buffer(-0.12).is_empty:
            continue
        found = examine([path for path in paths if path is not face[at]]).findings
        told = [finding.place for finding in found if finding.severity != "notes" and finding.place is not None]
        assert told, face[at]


ISLANDS = '<rect x="1" y="1" width="6" height="5"/><circle cx="13" cy="5" r="3.2"/><path d="M2 8h12v4h-12z"/>'


@pytest.mark.sweep(1)
@pytest.mark.parametrize("art", ["", ISLANDS], ids=["lines", "islands"])
def test_every_long_move_that_is_dropped_from_the_file_is_found(tmp_path, art, expected, paths, sweep):
    if art:
        other = small_stamp(art, tmp_path)
        expected, paths = expected_of(other), slice_mesh(other.die)
    lines = write(paths).split(b"\n")
    moves = [line.split() if line[:4] in (b"G0 X", b"G1 X") else [] for line in lines]
    places = np.array([(float(words[1][1:]), float(words[2][1:])) if words else (0.0, 0.0) for words in moves])
    goes = np.flatnonzero(places[:, 0] > 0)
    far = np.hypot(*np.diff(places[goes], axis=0).T) > 1.5
    above = next(at for at, line in enumerate(lines) if b"Z1.8" in line)
    # Where the next move runs nearly the same way, nothing is lost.
    ends = shapely.linestrings(np.stack((places[goes[:-2]], places[goes[2:]]), axis=1))
    bent = np.append(shapely.distance(ends, shapely.points(places[goes[1:-1]])) > 0.4, True)
    corner = np.array([lines[at].startswith(b"G1") for at in [*goes[2:].tolist(), goes[-1]]]) | (art == "")
    long = [at for at in goes[1:][far & bent & corner].tolist() if at > above and lines[at].startswith(b"G1")]
    file = tmp_path / "die.gcode"
    tried, unseen = sweep(long[:60], quick=3), []
    for at in tried:
        file.write_bytes(b"\n".join(lines[:at] + lines[at + 1 :]))
        if not kinds(examine_toolpath(read_gcode(file), expected)):
            unseen.append(lines[at])
    assert unseen == []


@pytest.mark.parametrize(("flow", "share"), [((1.75 / 2.85) ** 2, 0.377), (1.75**2 * np.pi / 4, 2.405)])
def test_another_filament_is_found_and_the_face_seen_all_the_same(examine, paths, flow, share):
    examined = examine(paths, flow=flow)
    assert kinds(examined) == {"wrong feed"}
    assert examined.flow.share == pytest.approx(share, rel=0.02)
    assert examined.judgement.likeness.parts == (3, 3)


def test_a_die_that_lies_face_down_is_said(examine, stamp):
    turned = replace(stamp.die, vertices=stamp.die.vertices * [-1, 1, -1] + [0, 0, stamp.die.bounds[1][2]])
    examined = examine(slice_mesh(turned))
    assert "face down" in kinds(examined)
    assert "mirrored" not in kinds(examined)


@pytest.mark.parametrize("which", ["the bed's layer", "every layer"])
def test_ironed_layers_are_laid_no_differently(examine, stamp, paths, which):
    # A tenth of a millimetre apart, with a seventh of the plastic, over what was laid: no line of the layer.
    ironed = []
    for top in sorted({path.top for path in paths}):
        ironed += [path for path in paths if path.top == top]
        if which == "every layer" or top == 0.2:
            ironed += ironing(stamp.die, top)
    examined = examine(ironed)
    assert kinds(examined) == set()
    assert examined.width == pytest.approx(0.4, abs=0.01)


def ironing(die, top, apart=0.1, share=0.15, height=0.2):
    body = trimesh.Trimesh(die.vertices, die.triangles, process=True)
    region = affinity.translate(section_at(body, top - height / 2).buffer(-0.2), 110.0, 100.0)
    width = apart * share + height * (1 - np.pi / 4)
    return [Path(tuple(line.coords), top, height, width, False) for line in filling(region, apart, 45.0)]


def test_an_island_in_the_air_is_found(examine, paths):
    layer = next(path for path in paths if path.top > 1.3)
    stray = replace(layer, points=((100.5, 93.0), (102.5, 93.0)), wall=False)
    assert "island in the air" in kinds(examine([*paths, stray]))


def test_swell_and_brims_are_told(examine, paths):
    first = [replace(path, width=0.75) if path.top < 0.3 and path.wall else path for path in paths]
    assert "swollen first layer" in kinds(examine(first))
    brim = [
        scaled(path, 1 + grown, 1 + 1.33 * grown)
        for path in paths[:1]
        for grown in (0.03, 0.06, 0.09, 0.12, 0.15, 0.18, 0.21)
    ]
    assert any(finding.kind == "brim to cut off" for finding in examine([*brim, *paths]).findings)


def test_a_loop_that_stays_open_is_found(examine, paths):
    def opened(path: Path) -> Path:
        (x, y), (to_x, to_y) = path.points[-2:]
        share = 1 - 0.35 / max(np.hypot(to_x - x, to_y - y), 0.36)
        return replace(path, points=(*path.points[:-1], (x + share * (to_x - x), y + share * (to_y - y))))

    face = [opened(path) if path.wall and abs(path.top - 1.8) < 0.01 else path for path in paths]
    assert "open seam" in kinds(examine(face))


def test_what_else_stands_on_the_plate_does_not_matter(examine, paths, expected):
    plate = [moved(path, 40, 0) for path in paths if path.top < 1] + paths
    skirt = [scaled(path, 1.6, 1.6) for path in paths[:1]]
    assert kinds(examine(skirt + plate)) == {"wrong material"}
    together = replace(expected, alone=False)
    assert kinds(examine(skirt + plate, told=together)) == set()


def test_another_material_is_said(examine, paths):
    hot = {"head": "M104 S205\nM140 S60"}
    assert kinds(examine(paths, **hot)) == {"wrong material"}
    assert kinds(examine(paths, head="M104 S230\nM140 S45")) == set()
    assert kinds(examine(paths, speed=80)) == {"too fast for its filament"}
    assert MATERIALS["tpu-95a"].nozzle == (220, 240)


def test_other_lines_are_said(examine, stamp):
    assert kinds(examine(slice_mesh(stamp.die, width=0.25))) == {"wrong line width"}


def test_without_a_job_the_face_is_seen_as_it_prints(examine, paths, expected):
    examined = examine(paths, told=None)
    assert kinds(examined) == set()
    assert examined.face_layer == 10
    left, bottom, right, top = examined.impression.outlines.bounds
    assert (right - left, top - bottom) == pytest.approx(
        np.diff(np.reshape(expected.face.bounds, (2, 2)), axis=0)[0], abs=0.2
    )
    # Paper and art read the same way round.
    assert examined.impression.outlines.intersection(expected.face).area > 0.9 * expected.face.area


def test_the_command_says_it_all(tmp_path, capsys, stamp, paths):
    (tmp_path / "die.gcode").write_bytes(write(paths))
    picture = tmp_path / "print.png"
    assert main(["impress", str(tmp_path / "die.gcode"), "-o", str(picture)]) == 0
    assert "Held against nothing" in capsys.readouterr().out
    assert picture.read_bytes().startswith(b"\x89PNG")
    assert main(["impress", str(tmp_path / "die.gcode"), "-o", str(picture)]) == 2
    write_job(tmp_path / "job.json", replace(stamp.job, artwork=stamp.sources.file.name))
    (tmp_path / "die.gcode").write_bytes(write([scaled(path, -1, 1) for path in paths]))
    words = ["impress", str(tmp_path / "die.gcode"), "-o", str(picture), "--overwrite"]
    assert main([*words, "--json"]) == 1
    record = json.loads(capsys.readouterr().out)
    assert [finding["kind"] for finding in record["findings"] if finding["severity"] == "blocks"] == ["mirrored"]
    assert main([*words, "--push", "20"]) == 2
    assert "--push takes a mesh" in capsys.readouterr().err


def test_the_sheet_shows_every_kind_in_its_place(tmp_path, paths):
    file, sheet = tmp_path / "die.gcode", tmp_path / "beads.svg"
    file.write_bytes(write([path for path in paths if abs(path.top - 1.4) > 0.01]))
    assert main(["impress", str(file), "-o", str(sheet)]) == 1
    drawn = sheet.read_text(encoding="utf-8")
    assert "layer left out: Layer 7" in drawn
    assert "seams: " in drawn
    assert main(["impress", str(file), "-o", str(tmp_path / "beads.pdf")]) == 2


def test_nothing_blocks_what_is_sound(examine, paths):
    assert not blocking(examine(paths, relative=True).findings)
