"""An address in 7 pt type for a nozzle of 0.4 mm: refused with a picture, and each way to pass, made, can be read.

The type of the usual letterhead; 2.47 mm to the line, of which strokes take 0.2 mm. The reader is in print_reader.py.
"""

import shutil

import pytest
from stampwright import make_stamp, read_artwork
from stampwright.cli.main import main
from stampwright.job import Job
from stampwright.job.pieces import Lettering
from stampwright.remedy import answer_for
from stampwright.workshop import artwork_of

from .print_reader import edits, read

LINES = ("Mossgate Seed Library", "The Old Malthouse, Wren Lane", "Mossgate under Hay", "seeds@mossgate.example")
SIZE = 7 * 25.4 / 72
LAID = {
    "base.outline": "rectangle",
    "base.width": 60.0,
    "base.height": 25.0,
    "layout.size_by": "page",
    "layout.centre": "bounds",
}

DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="25mm" viewBox="0 0 60 25">
<g font-family="Noto Sans" font-size="{:.3f}">{}</g></svg>"""


@pytest.fixture
def drawing(tmp_path):
    return drawn(LINES, tmp_path / "address.svg")


def drawn(lines, file):
    set_lines = "".join(f'<text x="3" y="{5 + 4 * at}">{line}</text>' for at, line in enumerate(lines))
    file.write_text(DRAWING.format(SIZE, set_lines))
    return file


def as_drawing(file):
    job = Job().with_values(LAID)

    def read_anew(job):
        return read_artwork(file, tracing=job.tracing)

    return job, read_anew


def as_piece():
    piece = Lettering(text="\n".join(LINES), font="Noto Sans", cap_height=0.714 * SIZE, align="left")
    return Job(**{**vars(Job().with_values(LAID)), "pieces": (piece,)}), artwork_of


def test_it_is_refused_with_a_picture(tmp_path, capsys):
    drawing = drawn(LINES[::2], tmp_path / "address.svg")
    out = tmp_path / "stamp"
    settings = [word for name, value in LAID.items() for word in ("--set", f"{name}={value}")]
    assert main(["make", str(drawing), "--out", str(out), "--no-ways", *settings]) == 1
    assert "not made" in capsys.readouterr().err
    assert not out.exists()
    sheet = (tmp_path / "stamp-examination.html").read_text()
    assert "What a reader sees of it" in sheet
    assert "What repair would change" in sheet


@pytest.mark.sweep(1)
@pytest.mark.parametrize("given", ["piece", "drawing"])
def test_each_way_passes_and_is_read_as_well_as_the_artwork(given, drawing, tmp_path):
    job, read_anew = as_drawing(drawing) if given == "drawing" else as_piece()
    artwork = read_anew(job)
    answer = answer_for(job, artwork, read=read_anew)
    assert answer.examined.blocked
    assert answer.repaired.blocked
    ways = answer.ways
    assert len(ways) >= 3
    text = " ".join(LINES)
    for way in ways:
        changed = job.with_values(dict(way.settings))
        stamp = make_stamp(changed, read_anew(changed))
        assert not stamp.blocked, way.what
        if shutil.which("tesseract"):
            given_art = edits(read(stamp.given.inked, tmp_path, lines=4), text)
            printed = edits(read(stamp.impression.outlines, tmp_path, lines=4), text)
            assert printed <= given_art + 2, way.what
