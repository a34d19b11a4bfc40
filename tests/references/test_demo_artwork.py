"""The demo artwork: its ink as an independent renderer sees it, and a stamp from each example job."""

import io
import re
import subprocess
import sys

import numpy as np
import pytest
import resvg_py
from PIL import Image
from stampwright import make_stamp, read_artwork
from stampwright.job.written.files import read_job

NAMES = ("ownership-mark", "return-address", "pea-vine", "night-meadow", "harvest-pear")

SIZE = 1200
"""Pixels along the longer side at which renderings are compared."""


def rendered(svg: str) -> np.ndarray:
    """Return where resvg, an SVG renderer of its own, puts more dark than light on white paper."""
    width, height = map(float, re.search(r'width="([\d.]+)mm" height="([\d.]+)mm"', svg).groups())
    scale = SIZE / max(width, height)
    pixels = f'width="{round(width * scale)}" height="{round(height * scale)}"'
    sized = re.sub(r'width="[\d.]+mm" height="[\d.]+mm"', pixels, svg, count=1)
    picture = Image.open(io.BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=sized, background="#ffffff"))))
    return np.asarray(picture.convert("L")) < 128


def drawn(artwork) -> str:
    """Return the ink that was read as plain black outlines."""
    width, height = artwork.page_size
    rings = (ring for part in artwork.inked.geoms for ring in (part.exterior, *part.interiors))
    outlines = "".join("M" + " ".join(f"{x:.5f},{height - y:.5f}" for x, y in ring.coords) + "Z" for ring in rings)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.4f}mm" height="{height:.4f}mm" '
        f'viewBox="0 0 {width:.4f} {height:.4f}"><path fill-rule="evenodd" d="{outlines}"/></svg>'
    )


@pytest.mark.parametrize("name", NAMES)
def test_the_ink_read_is_the_ink_that_resvg_draws(name, artwork_folder):
    path = artwork_folder / f"{name}.svg"
    ours, theirs = rendered(drawn(read_artwork(path))), rendered(path.read_text(encoding="utf-8"))
    assert (ours & theirs).sum() / (ours | theirs).sum() >= 0.99


@pytest.mark.parametrize("name", NAMES)
def test_each_example_job_makes_its_stamp(name, artwork_folder, jobs_folder):
    stamp = make_stamp(read_job(jobs_folder / f"{name}.toml"), read_artwork(artwork_folder / f"{name}.svg"))
    assert not stamp.blocked
    assert stamp.handle is not None
    assert stamp.backing is not None


def test_the_drawings_come_out_again_as_they_lie_there(artwork_folder, tmp_path):
    subprocess.run([sys.executable, artwork_folder / "draw.py", tmp_path], check=True)
    for name in NAMES:
        again, kept = (read_artwork(folder / f"{name}.svg").inked for folder in (tmp_path, artwork_folder))
        assert again.symmetric_difference(kept).area < 0.01, name
