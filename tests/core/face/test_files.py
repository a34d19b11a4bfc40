"""A height map kept as a picture comes back in its place and as deep as it was; what is none is refused in a line."""

from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from stampwright.errors import JobError, OutputError
from stampwright.face import FaceMap, face_map_bytes, grey_bytes, read_face_map, write_face_map

MAP = FaceMap(
    np.random.default_rng(4).uniform(-0.6, 0.2, (37, 53)).astype(np.float32), (-3.123456, 4.5), 0.199951171875
)


def test_float_tiff_gives_the_same_map_back(tmp_path: Path) -> None:
    write_face_map(tmp_path / "map.tif", MAP)
    assert read_face_map(tmp_path / "map.tif") == MAP


def test_16_bit_png_gives_the_map_back_to_half_a_level(tmp_path: Path) -> None:
    write_face_map(tmp_path / "map.png", MAP)
    read = read_face_map(tmp_path / "map.png")
    assert (read.corner, read.spacing) == (MAP.corner, MAP.spacing)
    level = float(np.ptp(MAP.heights)) / 65535
    assert np.abs(read.heights - MAP.heights).max() <= 0.51 * level
    # Programs that draw see it upright: its top row comes first, white where it stands highest.
    with Image.open(tmp_path / "map.png") as image:
        assert image.mode.startswith("I;16")
        assert np.unravel_index(np.asarray(image)[::-1].argmax(), MAP.heights.shape) == np.unravel_index(
            MAP.heights.argmax(), MAP.heights.shape
        )


def test_even_map_comes_back_even(tmp_path: Path) -> None:
    even = FaceMap(np.full((3, 4), -0.25, dtype=np.float32), (0.0, 0.0), 1.0)
    write_face_map(tmp_path / "even.png", even)
    assert read_face_map(tmp_path / "even.png").heights == pytest.approx(-0.25)


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (grey_bytes(np.zeros((4, 4))), "face.picture"),
        (face_map_bytes(MAP)[:400], "cannot be read|damaged"),
        (b"not a picture", "no PNG or TIFF"),
        (face_map_bytes(FaceMap(np.full((2, 2), 1e9, dtype=np.float32), (0.0, 0.0), 1.0)), "no face has"),
        (face_map_bytes(FaceMap(np.full((2, 2), np.nan, dtype=np.float32), (0.0, 0.0), 1.0)), "no face has"),
        (face_map_bytes(FaceMap(np.zeros((2, 2), dtype=np.float32), (0.0, 0.0), 1e9)), "face.picture"),
    ],
)
def test_what_is_no_height_map_is_refused_in_one_line(tmp_path: Path, content: bytes, told: str) -> None:
    (tmp_path / "map").write_bytes(content)
    with pytest.raises(JobError, match=told) as refused:
        read_face_map(tmp_path / "map")
    assert len(str(refused.value).splitlines()) == 1


def test_map_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(JobError, match="No such file"):
        read_face_map(tmp_path / "gone.tif")


def test_other_kinds_of_file_are_not_written(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=r"\.png"):
        write_face_map(tmp_path / "map.jpg", MAP)
