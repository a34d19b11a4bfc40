"""An independent bar code reader reads the impression of a written file, and sees the die itself as mirrored."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import segno
import shapely
import zxingcpp
from PIL import Image
from shapely.geometry import MultiPolygon, box
from stampwright.artwork import Artwork
from stampwright.files import PrintedPart, read_mesh, write_3mf, write_png, write_stl
from stampwright.job import Job
from stampwright.job.materials import MATERIALS
from stampwright.output import write_folder
from stampwright.plane.frames import paper_to_die
from stampwright.press import impress
from stampwright.solids import extrude, unite
from stampwright.solids.solid import Solid
from stampwright.workshop import make_stamp

TEXT = "Mossgate Seed Library, shelf 7"
MATRIX = np.array([list(row) for row in segno.make(TEXT, error="m", micro=False).matrix], dtype=bool)
MODULE = 0.875  # mm, a whole number of 2**-12 mm; twice the lines that a 0.4 mm nozzle lays


@pytest.fixture(scope="module")
def symbol() -> MultiPolygon:
    """The symbol's dark modules in the paper frame, mm."""
    middle = len(MATRIX) * MODULE / 2
    dark = [
        box(column * MODULE, -row * MODULE, (column + 1) * MODULE, -(row + 1) * MODULE)
        for row, column in np.argwhere(MATRIX)
    ]
    inked = shapely.affinity.translate(shapely.union_all(dark), -middle, middle)
    # Modules that meet only at a corner would make a die that is no solid; a hair less ink parts them.
    return shapely.set_precision(inked.buffer(-0.01, join_style="mitre"), 2.0**-12)


@pytest.fixture(scope="module")
def die(symbol: MultiPolygon) -> Solid:
    relief = extrude(paper_to_die(symbol), 1.0, 4.2, name="relief")
    return unite([extrude(box(-20, -20, 20, 20), 0.0, 2.0, name="floor"), relief], name="die")


def read(picture: np.ndarray) -> list[zxingcpp.Barcode]:
    return zxingcpp.read_barcodes(np.ascontiguousarray(picture), formats=zxingcpp.BarcodeFormat.QRCode)


def modules_in(picture: np.ndarray) -> np.ndarray:
    """Sample the picture at the middle of every module, the symbol being centred in it; True where dark."""
    count = len(MATRIX)
    places = (np.arange(count) + 0.5 - count / 2) * MODULE * 600 / 25.4
    rows, columns = (np.floor(size / 2 + places).astype(int) for size in picture.shape)
    return picture[np.ix_(rows, columns)] < 128


def check_picture(path: Path) -> np.ndarray:
    """Check that the reader reads a picture as it stands, module for module, and return the picture."""
    with Image.open(path) as image:
        picture = np.asarray(image)
    found = read(picture)
    assert [barcode.text for barcode in found] == [TEXT]
    assert found[0].orientation == 0
    assert np.array_equal(modules_in(picture), MATRIX)
    return picture


@pytest.mark.parametrize("kind", ["stl", "3mf"])
def test_the_impression_of_a_written_file_decodes_and_the_die_itself_does_not(
    kind: str, die: Solid, tmp_path: Path
) -> None:
    path = tmp_path / f"die.{kind}"
    if kind == "stl":
        write_stl(path, die)
    else:
        write_3mf(path, [PrintedPart(die, MATERIALS["tpu-95a"])])
    impression = impress(read_mesh(path), spread=0.1, depth=0.2)
    write_png(tmp_path / "impression.png", impression.picture, dpi=impression.dpi)

    picture = check_picture(tmp_path / "impression.png")
    # The reader puts up with mirrored symbols, but has to take an upright one for a turned one to do so; turned
    # whichever way, the die itself never shows the symbol.
    unturned = picture[:, ::-1]
    assert all(barcode.orientation != 0 for barcode in read(unturned))
    assert not any(np.array_equal(np.rot90(modules_in(unturned), turns), MATRIX) for turns in range(4))


def test_a_whole_stamp_made_of_a_symbol_decodes_from_its_folder(symbol: MultiPolygon, tmp_path: Path) -> None:
    artwork = Artwork(inked=shapely.affinity.translate(symbol, 20, 20), page_size=(40.0, 40.0), name="shelf")
    job = Job().with_values(
        {
            "layout.size_by": "page",
            "base.outline": "rectangle",
            "base.width": 40.0,
            "base.height": 40.0,
            "handle.form": "block",
            "die.compensate_spread": True,
        }
    )
    written = write_folder(tmp_path / "out", make_stamp(job, artwork))
    check_picture(written.files["impression.png"])
