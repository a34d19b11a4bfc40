"""Prints of a stamp without marks come into register, whatever is missing, and what was done to them is found."""

import json

import numpy as np
import pytest
import shapely
from PIL import Image
from scipy import ndimage
from shapely import MultiPolygon, affinity
from stampwright.cli import main
from stampwright.errors import PrintError
from stampwright.likeness import GivenArt
from stampwright.prints.comparing import compare_prints, register, shared_places
from stampwright.prints.finding.scans import read_scan
from stampwright.prints.measuring import measure_prints
from stampwright.prints.testdie import draw_chart

from .synthetic import Stamped, photographed, scanned


@pytest.mark.sweep(2)
@pytest.mark.parametrize("case", range(30))
def test_print_is_registered_and_its_spread_found(case, stamp, tmp_path):
    folder, face = stamp
    rng = np.random.default_rng(4000 + case)
    spread, lost = rng.uniform(0.03, 0.15), shapely.Point(rng.uniform(-12, 12, 2)).buffer(rng.uniform(1.5, 4.0))
    stamped = Stamped(face, spread, drop=lost, ink=rng.uniform(0.1, 0.4), speckle=0.005, seed=case)
    if case % 2:
        path = tmp_path / "photo.jpg"
        photographed(
            stamped,
            path,
            shape=(900, 1200),
            across=rng.uniform(900, 1150),
            turn=rng.uniform(0, 360),
            tip=rng.uniform(-0.15, 0.15, 2),
            light=rng.uniform(0, 0.3),
            seed=case,
        )
    else:
        path = tmp_path / "scan.png"
        scanned(
            [stamped],
            path,
            dpi=rng.choice([300.0, 600.0]),
            page=(50, 50),
            places=((24.0, 27.0),),
            turns=(rng.uniform(0, 360),),
            blur=0.6,
            seed=case,
        )
    (found,) = compare_prints([path], folder).prints
    assert found.mean_spread == pytest.approx(spread, abs=0.01)
    assert found.registered.error < 0.03
    missing = face.buffer(-0.15).intersection(lost)
    if missing.area > 1.0:
        seen = found.missing.union(found.light)
        assert seen.intersection(missing).area > 0.9 * missing.area
        assert seen.difference(lost.buffer(0.4)).area < 0.05 * face.area
    assert found.stray.area < 0.2


@pytest.mark.sweep(1)
@pytest.mark.parametrize("case", range(12))
def test_spread_is_measured_in_light_where_a_lens_blurred_it(case, stamp, tmp_path):
    folder, face = stamp
    rng = np.random.default_rng(4500 + case)
    spread = rng.uniform(0.03, 0.14)
    stamped = Stamped(face, spread, ink=rng.uniform(0.03, 0.3), seed=case)
    how = {"lens": True, "sharpened": rng.uniform(0.3, 0.8), "noise": 0.006, "seed": case}
    place = {"page": (50, 50), "places": ((24.0, 27.0),), "turns": (rng.uniform(0, 360),)}
    scanned([stamped], tmp_path / "scan.png", dpi=[400.0, 600.0][case % 2], blur=rng.uniform(0.5, 0.9), **place, **how)
    (found,) = compare_prints([tmp_path / "scan.png"], folder).prints
    assert found.mean_spread == pytest.approx(spread, abs=0.01)


@pytest.mark.parametrize("dpi", [300.0, None])
def test_broad_strokes_in_a_narrow_scan_are_ink(dpi, tmp_path):
    # A letter of strokes 5 mm broad, with hardly a margin round it: nowhere is paper within half a stroke.
    face = shapely.MultiPolygon([shapely.Polygon([(-7, -8), (-2, -8), (-2, 1), (7, 1), (7, 8), (-7, 8)])])
    lost = shapely.box(-8, -9, -1, -4)
    for drop in (None, lost):
        path = tmp_path / "scan.png"
        stamped = Stamped(face, 0.1, drop=drop)
        scanned([stamped], path, dpi=300.0, page=(22, 24), places=((11, 12),), light=0.2)
        scan = read_scan(path, dpi=dpi)
        assert float(np.median(scan.level[scan.grey < 100])) < 0.4
        found = register(scan, face)
        assert found.like > 0.75
        assert found.spread == pytest.approx(0.1, abs=0.02)


@pytest.mark.sweep(1)
@pytest.mark.parametrize("depth", [0.75, 0.5])
@pytest.mark.parametrize("kind", ["hand", "edge", "vignette"])
def test_heavy_shadows_keep_no_print_from_being_read(kind, depth, stamp, tmp_path):
    # A shadow in the midst of the paper, one from an edge on, and dark corners: on prints of a stamp and of a test die.
    chart = draw_chart(30.0)
    for name, inked in (("stamp", stamp[1]), ("die", chart.inked)):
        path = tmp_path / f"{name}.jpg"
        photographed(Stamped(inked, 0.09, ink=0.2), path, shape=(1000, 1200), across=850, turn=33.0)
        seen = np.asarray(Image.open(path), dtype=np.float64)
        y, x = np.mgrid[-1 : 1 : seen.shape[0] * 1j, -1 : 1 : seen.shape[1] * 1j]
        shade = {
            "hand": ndimage.gaussian_filter(((x - 0.1) ** 2 / 0.16 + (y - 0.2) ** 2 / 0.5 < 1).astype(float), 20),
            "edge": ndimage.gaussian_filter((x + 0.4 * y > 0.1).astype(float), 12),
            "vignette": (x**2 + y**2) / 2,
        }[kind]
        Image.fromarray((seen * (1 - depth * shade) + 0.5).astype(np.uint8)).save(path, quality=85)
        if name == "stamp":
            assert register(read_scan(path), inked).spread == pytest.approx(0.09, abs=0.02)
        else:
            assert measure_prints([path]).readings[0].mean_spread == pytest.approx(0.09, abs=0.02)


@pytest.mark.parametrize("turn", [0.0, 160.0])
def test_art_that_is_nearly_its_mirror_image_is_told_from_it(turn, stamp, tmp_path):
    # Most of the face is a ring, which is its own mirror image; only the lettering is not.
    _, face = stamp
    ring = shapely.Point(0, 0).buffer(21.0).difference(shapely.Point(0, 0).buffer(16.5))
    for mirrored in (False, True):
        path = tmp_path / f"{mirrored}.png"
        stamped = Stamped(MultiPolygon([*face.geoms, ring]), 0.08, mirrored=mirrored)
        scanned([stamped], path, dpi=200.0, page=(56, 56), places=((28, 28),), turns=(turn,))
        if mirrored:
            with pytest.raises(PrintError, match="mirrored"):
                register(read_scan(path), stamped.inked)
        else:
            assert register(read_scan(path), stamped.inked).spread == pytest.approx(0.08, abs=0.02)


def test_a_folder_that_keeps_no_art_is_compared_with_its_face(stamp, tmp_path):
    folder, face = stamp
    kept = json.loads((folder / "job.json").read_text())
    kept.pop("pieces", None)
    kept.pop("artwork", None)
    own = tmp_path / "own"
    own.mkdir()
    (own / "job.json").write_text(json.dumps(kept))
    (own / "die.stl").write_bytes((folder / "die.stl").read_bytes())
    lost = shapely.Point(0, 1).buffer(3.0)
    scanned([Stamped(face, 0.08, drop=lost)], tmp_path / "scan.png", dpi=300.0, page=(46, 46), places=((23, 23),))
    compared = compare_prints([tmp_path / "scan.png"], own)
    assert compared.given.inked.equals(compared.face)
    missing = face.buffer(-0.15).intersection(lost)
    assert compared.prints[0].missing.intersection(missing).area > 0.8 * missing.area
    given = GivenArt(face.difference(lost))
    assert compare_prints([tmp_path / "scan.png"], own, given=given).given is given


@pytest.mark.sweep(1)
@pytest.mark.parametrize("seen_by", ["scanner", "camera"])
def test_several_prints_in_one_scan_are_each_compared(seen_by, stamp, tmp_path):
    folder, face = stamp
    die = shapely.box(-4.5, -10.5, 1.0, -7.5)
    drops = [die.union(shapely.Point(place).buffer(2.2)) for place in ((-8, 3), (8, 3), (0, 14.5))]
    path = tmp_path / "three.png"
    if seen_by == "scanner":
        scanned(
            [Stamped(face, 0.06 + 0.02 * at, drop=drop, seed=at) for at, drop in enumerate(drops)],
            path,
            dpi=300.0,
            page=(116, 48),
            places=((22, 24), (59, 25), (95, 23)),
            turns=(5, 80, 181),
        )
    else:
        prints = [affinity.translate(face.difference(drop), 38 * at - 38, 0) for at, drop in enumerate(drops)]
        row = Stamped(shapely.MultiPolygon([part for each in prints for part in shapely.get_parts(each)]), 0.08)
        photographed(row, path, shape=(900, 2400), across=900, turn=4.0, tip=(0.06, -0.05))
    compared = compare_prints([path], folder)
    assert [each.registered.number for each in compared.prints] == [1, 2, 3]
    for each, drop in zip(compared.prints, drops, strict=True):
        lost = face.buffer(-0.15).intersection(drop)
        assert each.missing.union(each.light).intersection(lost).area > 0.85 * lost.area
        assert each.missing.difference(drop.buffer(0.4)).area < 0.3
    if seen_by == "scanner":
        assert [each.mean_spread for each in compared.prints] == pytest.approx((0.06, 0.08, 0.1), abs=0.01)
    assert compared.always.intersection(die).area > 0.8 * face.intersection(die).area
    assert compared.sometimes.area > 3.0


def test_what_is_always_there_is_the_die_and_what_changes_the_hand(stamp, tmp_path):
    folder, face = stamp
    die, paths = shapely.box(-4.5, -10.5, 1.0, -7.5), []
    for index, place in enumerate(((-8, 3), (8, 3), (0, 14.5))):
        drop = die.union(shapely.Point(place).buffer(2.2))
        paths.append(tmp_path / f"{index}.png")
        scanned(
            [Stamped(face, 0.08, drop=drop, seed=index)],
            paths[-1],
            dpi=400.0,
            page=(46, 46),
            places=((23, 23),),
            turns=(40.0 * index,),
            seed=index,
        )
    compared = compare_prints(paths, folder)
    lost = face.buffer(-0.15).intersection(die)
    assert compared.always.intersection(lost).area > 0.8 * lost.area
    assert compared.always.difference(die.buffer(0.4)).area < 0.3
    assert compared.sometimes.area > 3.0
    assert compared.sometimes.intersection(die.buffer(-0.5)).area < 0.3
    kinds = {finding.kind for finding in compared.findings}
    assert {"face prints light", "prints differ"} <= kinds


def test_stray_ink_light_side_and_filled_letters_are_told(stamp, tmp_path):
    folder, face = stamp
    blot = shapely.Point(-9.5, -6.0).buffer(1.0)
    stamped = Stamped(face.union(blot), 0.2, darkness=lambda x, y: np.clip(0.75 + x / 60 + 0 * y, 0, 1), ink=0.1)
    scanned([stamped], tmp_path / "scan.png", page=(46, 46), places=((23, 23),), turns=(10,))
    out = tmp_path / "beside.svg"
    assert main(["compare", str(tmp_path / "scan.png"), str(folder), "-o", str(out)]) == 0
    compared = compare_prints([tmp_path / "scan.png"], folder)
    assert compared.prints[0].stray.intersection(blot).area > 0.7 * blot.area
    told = {finding.kind: finding for finding in compared.findings}
    assert "left" in told["push off centre"].message
    assert told["ink spreads more"].measured == pytest.approx(0.2, abs=0.02)
    assert "stray ink" in told
    assert "stray" in out.read_text()


@pytest.mark.sweep(1)
@pytest.mark.parametrize("case", range(16))
def test_print_that_was_struck_twice_is_told_and_its_spread_left_out(case, stamp, tmp_path):
    folder, face = stamp
    rng = np.random.default_rng(4500 + case)
    apart, turn, spread = rng.uniform(0.25, 1.6), rng.uniform(0, 2 * np.pi), rng.uniform(0.04, 0.12)
    shift = apart * np.array([np.cos(turn), np.sin(turn)])
    path = tmp_path / ("scan.png" if case % 3 else "photo.jpg")
    stamped = Stamped(face.union(affinity.translate(face, *shift)), spread, ink=rng.uniform(0.1, 0.4), seed=case)
    if case % 3:
        scanned([stamped], path, dpi=400.0, page=(48, 48), places=((24, 24),), turns=(rng.uniform(0, 360),), seed=case)
    else:
        photographed(stamped, path, shape=(900, 1100), across=1000, turn=rng.uniform(0, 360), light=0.2, seed=case)
    compared = compare_prints([path], folder)
    (found,) = compared.prints
    assert found.registered.again is not None
    told = np.array(found.registered.again)
    assert min(np.hypot(*(told - shift)), np.hypot(*(told + shift))) < 0.05
    assert found.mean_spread == pytest.approx(spread, abs=0.02)
    assert found.stray.area + found.spread.area < 0.5
    assert "struck twice" in {finding.kind for finding in compared.findings}


def test_uneven_edges_are_not_taken_for_a_second_strike(stamp, tmp_path):
    # Ragged edges, a smear of ink at one place, and lines lost: struck once.
    _, face = stamp
    for seed in range(2):
        rng = np.random.default_rng(seed)
        blots = shapely.union_all(
            [
                shapely.Point(place).buffer(rng.uniform(0.05, 0.25))
                for place in shapely.get_coordinates(face)[rng.integers(0, 200, 150)]
            ]
        )
        ragged = Stamped(face.union(blots), 0.08, drop=shapely.Point(8, 3).buffer(3.0), speckle=0.03, seed=seed)
        scanned([ragged], tmp_path / "scan.png", dpi=300.0, page=(46, 46), places=((23, 23),), turns=(70 * seed,))
        assert register(read_scan(tmp_path / "scan.png"), face).again is None


def test_ink_of_the_floor_and_ink_beside_the_stamp_are_told_apart(stamp, tmp_path):
    folder, face = stamp
    # The base reaches 17 mm from its middle; the face 15.
    floor, finger = shapely.box(15.9, -1.0, 16.9, 1.0), shapely.Point(-23.0, 6.0).buffer(1.2)
    rule = shapely.box(-60, -26, 60, -25.5)
    stamped = Stamped(face.union(floor), 0.08, beside=finger.union(rule))
    scanned([stamped], tmp_path / "scan.png", dpi=300.0, page=(64, 64), places=((32, 32),), turns=(30,))
    compared = compare_prints([tmp_path / "scan.png"], folder)
    (found,) = compared.prints
    assert found.stray.area == pytest.approx(floor.buffer(0.08).area, rel=0.2)
    assert found.beside.area == pytest.approx(finger.area, rel=0.2)
    assert found.beside.intersection(finger).area > 0.9 * finger.area
    told = {finding.kind: finding.severity for finding in compared.findings}
    assert told["stray ink"] == "warns"
    assert told["ink beside the stamp"] == "notes"
    # Another print is none of this one's stray ink.
    scanned(
        [Stamped(face, 0.08), Stamped(face, 0.08, seed=1)],
        tmp_path / "two.png",
        dpi=300.0,
        page=(90, 46),
        places=((24, 23), (57, 23)),
        turns=(0, 12),
    )
    for each in compare_prints([tmp_path / "two.png"], folder).prints:
        assert (each.beside.area, each.stray.area) == (0.0, 0.0)


def test_command_answers_in_json(stamp, tmp_path, capsys):
    folder, face = stamp
    scanned([Stamped(face, 0.1)], tmp_path / "scan.png", dpi=300.0, page=(46, 46), places=((23, 23),), turns=(200,))
    capsys.readouterr()
    assert main(["compare", str(tmp_path / "scan.png"), str(folder), "--json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["prints"][0]["spread"] == pytest.approx(0.1, abs=0.02)
    assert record["prints"][0]["likeness"]["parts"] is not None


@pytest.mark.parametrize("name", ["mirrored", "other", "blank"])
def test_print_of_another_stamp_is_refused(name, stamp, tmp_path):
    _, face = stamp
    other = affinity.rotate(
        shapely.MultiPolygon([shapely.box(-14, -14 + 3 * i, 14, -13 + 3 * i) for i in range(10)]), 20
    )
    stamped = {
        "mirrored": Stamped(face, 0.1, mirrored=True),
        "other": Stamped(other, 0.1),
        "blank": Stamped(shapely.MultiPolygon([shapely.box(-0.4, -0.4, 0.4, 0.4)]), 0.0),
    }[name]
    scanned([stamped], tmp_path / "scan.png", dpi=300.0, page=(46, 46), places=((23, 23),))
    with pytest.raises(PrintError) as caught:
        register(read_scan(tmp_path / "scan.png"), face)
    assert "\n" not in str(caught.value)


def test_art_that_is_its_own_mirror_image_is_not_called_mirrored(tmp_path):
    pale = shapely.box(-2, -14, 2, 14).union(shapely.Point(0, 8).buffer(7).difference(shapely.Point(0, 8).buffer(5.5)))
    face = shapely.MultiPolygon([pale.union(shapely.box(-11, -14, 11, -12))])
    for seed in range(3):
        scanned(
            [Stamped(face, 0.1, speckle=0.01, seed=seed)],
            tmp_path / "scan.png",
            dpi=300.0,
            page=(46, 46),
            places=((23, 23),),
            turns=(50 * seed,),
            seed=seed,
        )
        assert register(read_scan(tmp_path / "scan.png"), face).spread == pytest.approx(0.1, abs=0.01)


def test_shared_places_are_counted():
    boxes = [shapely.MultiPolygon([shapely.box(left, 0, left + 4, 1)]) for left in (0, 1, 2)]
    assert [shared_places(boxes, least).area for least in (1, 2, 3)] == pytest.approx([6, 4, 2])
