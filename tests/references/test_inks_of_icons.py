"""Coloured icons parted into inks: as another renderer draws them, and as sets of sound dies."""

import io
import re

import numpy as np
import pytest
import resvg_py
import shapely
from PIL import Image
from scipy.ndimage import distance_transform_edt
from stampwright.artwork.coloured.reading import read_coloured
from stampwright.errors import ArtworkError
from stampwright.inks import coloured_picture, propose_inks, separate
from stampwright.job import Job
from stampwright.looks.differences import colour_difference
from stampwright.parts import build_backing
from stampwright.plane.rasters.raster import MM_PER_INCH, picture_of
from stampwright.sets import coloured_of, make_set, make_set_files, proposed_job
from stampwright.sets.making import part_art
from stampwright.sets.picture import DPI, MARGIN
from stampwright.solids.soundness import judge_merged, merge_equal
from stampwright.workshop import make_die

ICONS = "@twemoji/svg"

SIZE = 480
"""Pixels across, at which pictures are compared."""

LIKE, SHARE = 2.0, 0.99
"""Difference (CIEDE2000) that no one sees, and the share of pixels off edges that have less."""

# One icon for each number of inks, chosen for colours that differ and parts that print.
SETS = {2: "1f336", 3: "1f333", 5: "1f366"}


def rendered(path, size=SIZE):
    """Return how resvg draws a file on white paper, (size, size, 3) from 0 to 1."""
    svg = re.sub(r"<svg ", f'<svg width="{size}" height="{size}" ', path.read_text(encoding="utf-8"), count=1)
    picture = Image.open(io.BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=svg, background="#ffffff"))))
    return np.asarray(picture.convert("RGB")) / 255


def off_edges(picture, reach):
    """Say of pixels whether all within ``reach`` pixels of them are of one colour."""
    even = np.ones(picture.shape[:2], dtype=bool)
    for axis in (0, 1):
        for way in (1, -1):
            even &= np.abs(np.roll(picture, way, axis=axis) - picture).max(axis=2) < 0.02
    return distance_transform_edt(even) > reach


def pictured(art, inks):
    """Return what inks print of art on its page, without trap or spread, as pixels from 0 to 1."""
    width, height = art.whole.page_size
    dpi = SIZE * MM_PER_INCH / width
    parted, _ = separate(art, inks)
    pictures = [picture_of(each.region, (round(SIZE * height / width), SIZE), (0.0, 0.0), dpi) for each in parted]
    return coloured_picture(pictures, [each.ink.colour for each in parted]) / 255


@pytest.fixture
def some_icons(icon_files, sweep):
    """Return icons spread over the set."""
    return sweep(icon_files(ICONS)[::37], quick=10)


def test_separations_put_together_are_what_resvg_draws(some_icons):
    compared = 0
    for path in some_icons:
        art = read_coloured(path)
        try:
            inks = propose_inks(art)
        except ArtworkError:
            continue
        if any(len(ink.colours) > 1 for ink in inks):
            continue
        theirs = rendered(path)
        apart = colour_difference(pictured(art, inks), theirs)[off_edges(theirs, 2)]
        assert (apart < LIKE).mean() >= SHARE, path.name
        compared += 1
    assert compared >= 2


@pytest.mark.sweep(1)
@pytest.mark.parametrize("count", SETS)
def test_a_written_set_shows_the_colours_that_resvg_draws(count, icon_files, tmp_path):
    path = next(file for file in icon_files(ICONS) if file.stem == SETS[count])
    settings = {"base.width": 60.0, "layout.size_by": "fit", "handle.form": "none", "preflight.repair": True}
    job = Job().with_values(settings)
    art = coloured_of(job, str(path))
    job = proposed_job(job, art)
    assert len(job.inks) == count
    made, written = make_set_files(job, art, tmp_path / "set")
    assert written is not None, [finding.message for finding in made.blocked]
    picture = np.asarray(Image.open(tmp_path / "set" / "impression.png").convert("RGB")) / 255
    theirs = _on_paper(rendered(path, 1800), made, picture.shape)
    # Trap and spread lie at edges.
    reach = round((made.trap_width + 3 * job.ink.spread) * DPI / MM_PER_INCH)
    apart = colour_difference(picture, theirs)[off_edges(theirs, reach)]
    assert apart.size > 0.2 * picture.shape[0] * picture.shape[1]
    assert (apart < LIKE).mean() >= SHARE


def _on_paper(drawn, made, shape):
    """Return a drawing's picture as it lies under the pixels of a set's impression."""
    rows, columns = shape[:2]
    left, bottom, _, _ = shapely.total_bounds(list(made.misregister.perfect.printed)) - MARGIN
    pitch = MM_PER_INCH / DPI
    corner = np.floor(np.array([left, bottom]) / pitch + 1e-6) * pitch
    row, column = np.mgrid[0:rows, 0:columns]
    x, y = corner[0] + (column + 0.5) * pitch, corner[1] + (rows - row - 0.5) * pitch
    a, b, d, e, right, up = made.layout.matrix
    page = np.linalg.solve(np.array([[a, b], [d, e]]), np.stack(((x - right).ravel(), (y - up).ravel())))
    scale = drawn.shape[1] / made.whole.page_size[0]
    at = np.floor(page * scale).astype(int)
    at[1] = drawn.shape[0] - 1 - at[1]
    inside = ((at >= 0) & (at < drawn.shape[0])).all(axis=0)
    colours = np.ones((rows * columns, 3))
    colours[inside] = drawn[at[1, inside], at[0, inside]]
    return colours.reshape(rows, columns, 3)


@pytest.mark.sweep(1)
@pytest.mark.parametrize("batch", range(10))
def test_icons_come_as_sets_of_sound_dies_or_are_refused_with_the_reason(batch, icon_files, sweep):
    job = Job().with_values({"base.width": 60.0, "layout.size_by": "fit", "handle.form": "none"})
    job = job.with_value("preflight.repair", True)
    stamped, reasons = 0, {}
    for number, path in enumerate(sweep(icon_files(ICONS)[5::12][batch:300:10], quick=2)):
        try:
            art = coloured_of(job, str(path))
            inked = proposed_job(job, art)
            solids = _solids_of(inked, art)
        except ArtworkError as refused:
            reasons[path.name] = str(refused)
            continue
        for solid in solids:
            verdict = judge_merged(*merge_equal(solid.vertices, solid.triangles))
            assert verdict.sound, (path.name, solid.name, verdict.explain())
        if number % 10 == 0:
            # What keeps a set from being made says so, and what to do.
            assert all(finding.message and finding.remedy for finding in make_set(inked, art).blocked), path.name
        stamped += 1
    assert stamped
    told = "one colour, #[0-9a-f]{6}: it takes one ink|[0-9]+ colours, which take [0-9]+ inks"
    assert {name: why for name, why in reasons.items() if not re.search(told, why)} == {}


def _solids_of(job, art):
    """Return the dies of a set, one backing, which all of them have alike, and the gauge."""
    parted = part_art(job, art)
    plates = [parted.plate(job, each.ink.name) for each in parted.trapped.separations]
    plate = plates[0][0]
    backing = build_backing(parted.laid.base, plate.backing, plate.cushion, layer=0.2, up_mark=False)
    return [*(make_die(*each) for each in plates), backing, parted.gauge.solid]
