"""What is typed wrong is told in one line: what it was, and what is taken in its place."""

import numpy as np
import pytest
from stampwright.cli import main
from stampwright.files import write_stl
from stampwright.solids import Solid

CASES = [
    ("mkae x.svg", "there is no command 'mkae'; nearest: make (see: stampwright --help)"),
    ("make", "still missing: -o/--out (see: stampwright make --help)"),
    ("pieces extra", "it takes no extra (see: stampwright pieces --help)"),
    ("make x.svg -o o --inks maybe", "--inks 'maybe' is not allowed: it takes one of auto, ask"),
    ("impress x.stl -o p.png --dpi abc", "--dpi 'abc' is no number"),
    ("impress x.stl -o p.png --turns 1.5", "--turns '1.5' is no whole number"),
    ("impress drawing.svg -o p.png", "drawing.svg: is no STL file; name a part as .stl or .3mf"),
    ("view empty.stl -o p.png", "empty.stl: is empty; copy or export it again"),
    ("preflight x.svg --job list.json", "list.json: holds no sections such as [die] with settings: it is no job file"),
    ("testdie -o t --size 5", "--size 5 is not allowed: it takes 30 to 300 mm"),
    ("measure x.png --scale feet", "--scale 'feet' is not allowed: it takes one of dpi, ruler, bar"),
    ("measure x.png --push other.png=30", "--push other.png=: no scan of that name is given; there are x.png"),
    ("measure x.png -o found.json", "found.json: measured settings are written as .toml; give it that ending"),
]


@pytest.mark.parametrize(("words", "told"), CASES, ids=[words for words, _ in CASES])
def test_wrong_words_are_told_in_one_line(words, told, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "drawing.svg").write_text("<svg xmlns='http://www.w3.org/2000/svg' width='20mm'/>" + " " * 60)
    (tmp_path / "empty.stl").write_bytes(b"")
    (tmp_path / "list.json").write_text("[1, 2]")
    try:
        code = main(words.split())
    except SystemExit as ended:
        code = ended.code
    said = capsys.readouterr().err
    assert code == 2
    assert told in said
    assert said.count("\n") == 1


def test_what_is_for_rollers_is_refused_for_a_flat_die(tmp_path, capsys):
    # A plain box, no side of which is round about anything.
    corners = np.array([(x, y, z) for x in (0, 9) for y in (0, 6) for z in (0, 3)], dtype=float)
    sides = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    box = Solid("box", corners, np.array([t for a, b, c, d in sides for t in ((a, b, c), (a, c, d))]))
    write_stl(tmp_path / "die.stl", box)
    for given in ("--turns 3", "--up"):
        assert main(["impress", str(tmp_path / "die.stl"), "-o", str(tmp_path / "p.png"), *given.split()]) == 2
        assert f"{given} goes with rockers and rollers" in capsys.readouterr().err
