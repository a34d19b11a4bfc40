"""Scans as they come, on ruled paper, half inked, cut off, of another size: the numbers hold, or are not said."""

import numpy as np
import pytest
import shapely
from PIL import Image
from scipy import ndimage
from stampwright.errors import PrintError
from stampwright.prints.comparing import compare_prints

from .synthetic import Stamped, scanned

SPREAD, DPI = 0.09, 400


def printed(face, *, page=(44.0, 44.0), place=(22.0, 22.0), dpi=DPI, seed=1, blur=0.7, **how):
    """Return light that a print leaves of the paper's, 0 to 1."""
    stamped = Stamped(face, SPREAD, ink=0.0, speckle=0.005, seed=seed, **how)
    plain = {"noise": 0, "light": 0, "paper": 1.0, "texture": 0.01, "blur": blur, "seed": seed}
    grey = scanned([stamped], None, dpi=float(dpi), page=page, places=(place,), **plain)
    return grey / 255.0


def saved(path, light, *, under=1.0, ink=(30, 30, 35), dpi=DPI):
    """Save light as a coloured scan; ``under``: what of the paper's light other things leave, (rows, columns, 3)."""
    ink, paper = np.array(ink) / 255.0, 0.96
    seen = paper * (light[..., None] + (1.0 - light[..., None]) * ink) * under
    seen = seen + 0.008 * np.random.default_rng(3).standard_normal(seen.shape)
    Image.fromarray((np.clip(seen, 0, 1) * 255 + 0.5).astype(np.uint8)).save(path, dpi=(dpi, dpi))
    return path


def lines(shape, rgb, *, across=True, pitch=8.0, wide=0.3):
    """Return what ruled, or squared, paper leaves of light."""
    places = [np.abs((at / DPI * 25.4 + pitch / 2) % pitch - pitch / 2) for at in np.ogrid[: shape[0], : shape[1]]]
    cover = [np.clip((wide / 2 - at) * DPI / 25.4 + 0.5, 0, 1) * np.ones(shape) for at in places]
    inked = ndimage.gaussian_filter(np.maximum(*cover) if across else cover[0], 0.8)
    return 1.0 - inked[..., None] * (1.0 - np.array(rgb) / 255.0)


OTHER = shapely.union_all(
    [shapely.Point(0, 0).buffer(14).difference(shapely.Point(0, 0).buffer(12.5)), shapely.box(-8, -1, 8, 1)]
)


@pytest.mark.sweep(1)
@pytest.mark.parametrize(
    ("ink", "rgb", "across"),
    [
        ((30, 30, 35), (90, 110, 180), False),
        ((190, 30, 40), (70, 150, 100), True),
        ((30, 30, 35), (200, 90, 60), True),
        ((40, 60, 160), (220, 120, 60), False),
    ],
)
def test_lines_of_the_paper_in_another_colour_are_no_stray_ink(ink, rgb, across, stamp, tmp_path):
    light = printed(stamp[1])
    path = saved(tmp_path / "scan.png", light, ink=ink, under=lines(light.shape, rgb, across=across))
    comparison = compare_prints([path], stamp[0])
    (found,) = comparison.prints
    assert found.mean_spread == pytest.approx(SPREAD, abs=0.01)
    assert found.stray.area + found.spread.area < 0.2
    assert found.recoloured or max(ink) > 100, "lines that dark print with black ink unless they are left out"


@pytest.mark.sweep(1)
@pytest.mark.parametrize("left", [0.0, -3.0])
def test_what_is_there_of_a_half_print_is_not_stretched_over_its_face(left, stamp, tmp_path):
    path = saved(tmp_path / "scan.png", printed(stamp[1], drop=shapely.box(-40, -40, left, 40)))
    (found,) = compare_prints([path], stamp[0]).prints
    assert found.mean_spread == pytest.approx(SPREAD, abs=0.01)
    assert found.registered.view.pixels_per_mm() * 25.4 == pytest.approx(DPI, rel=0.01)
    assert found.stray.area + found.spread.area < 0.2


def test_what_lies_beyond_the_edge_of_the_picture_is_not_judged(stamp, tmp_path):
    path = saved(tmp_path / "scan.png", printed(stamp[1])[:, round(10.0 / 25.4 * DPI) :])
    comparison = compare_prints([path], stamp[0])
    (found,) = comparison.prints
    assert found.mean_spread == pytest.approx(SPREAD, abs=0.01)
    assert [finding.kind for finding in comparison.findings] == ["print cut off"]
    cut = stamp[1].intersection(shapely.box(-40, -40, -12.0, 40)).area / stamp[1].area
    assert found.cut_off == pytest.approx(cut, abs=0.02)


@pytest.mark.sweep(0)
@pytest.mark.parametrize(("recorded", "reason"), [(200, "about 400 dpi"), (360, "about 400 dpi"), (0, "a negative")])
def test_print_that_is_not_found_is_refused_with_the_reason(recorded, reason, stamp, tmp_path):
    path = saved(tmp_path / "scan.png", printed(stamp[1]), dpi=recorded or DPI)
    if not recorded:
        Image.fromarray(255 - np.asarray(Image.open(path))).save(path, dpi=(DPI, DPI))
    with pytest.raises(PrintError, match=reason):
        compare_prints([path], stamp[0])


@pytest.mark.sweep(0)
@pytest.mark.parametrize(("wide", "high"), [(0.9, 1.0), (1.0, 0.97)])
def test_print_of_another_size_than_its_resolution_says_is_told(wide, high, stamp, tmp_path):
    path = saved(tmp_path / "scan.png", printed(stamp[1]))
    whole = Image.open(path)
    size = (round(wide * whole.width), round(high * whole.height))
    whole.resize(size, Image.Resampling.LANCZOS).save(path, dpi=(DPI, DPI))
    if wide < 0.95:
        with pytest.raises(PrintError, match=r"90.% as wide"):
            compare_prints([path], stamp[0])
    else:
        assert "print of another size" in {finding.kind for finding in compare_prints([path], stamp[0]).findings}


def test_print_of_another_stamp_on_the_page_is_told(stamp, tmp_path):
    one, other = (
        printed(face, page=(90.0, 44.0), place=place)
        for face, place in ((stamp[1], (22.0, 22.0)), (OTHER, (70.0, 22.0)))
    )
    comparison = compare_prints([saved(tmp_path / "scan.png", np.minimum(one, other))], stamp[0])
    assert len(comparison.prints) == 1
    assert "other things in the picture" in {finding.kind for finding in comparison.findings}


def test_spread_that_a_coarse_scan_does_not_show_is_told_as_uncertain(stamp, tmp_path):
    path = saved(tmp_path / "scan.png", printed(stamp[1], dpi=150, blur=0.8), dpi=150)
    comparison = compare_prints([path], stamp[0])
    (found,) = comparison.prints
    assert "spread uncertain" in {finding.kind for finding in comparison.findings}
    assert found.registered.spread - found.registered.unsure - 0.01 < SPREAD < found.registered.spread + 0.01
