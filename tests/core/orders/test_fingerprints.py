"""Promises of fingerprints: whatever a stamp is made from makes another of it, and nothing else does."""

import os
from dataclasses import replace

import pytest
from fontTools.ttLib import TTFont
from stampwright.artwork.fonts import find_font
from stampwright.artwork.fonts.case import BUNDLED_FOLDER
from stampwright.job import Job
from stampwright.job.pieces import Lettering, Mark
from stampwright.orders.making.fingerprints import stamp_fingerprint

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="20" height="20">{}</svg>'
WORDS = SVG.format('<text y="9" {}>Ada</text>')


@pytest.fixture
def install(tmp_path, monkeypatch):
    """Return a function that puts a font of a family of its own among those of the system, heavier at each version."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "own"))
    monkeypatch.setenv("XDG_DATA_DIRS", str(tmp_path / "shared"))
    monkeypatch.setenv("HOME", str(tmp_path))
    folder = tmp_path / "own" / "fonts"
    folder.mkdir(parents=True)

    def put(family, version):
        font = TTFont(sorted(BUNDLED_FOLDER.glob("*.ttf"))[0])
        for number in (1, 16):
            font["name"].setName(family, number, 3, 1, 0x409)
        font["head"].fontRevision = version
        path = folder / f"{family}.ttf"
        font.save(path)
        # As if it had been there for long: the clock of a file system may be slow.
        os.utime(path, (version * 1000, version * 1000))

    return put


def lettering(**given):
    return Job(name="Ada", pieces=(Lettering(text="Ada", **given),))


@pytest.mark.skipif(os.name != "posix", reason="fonts lie elsewhere")
@pytest.mark.parametrize(
    ("content", "family"),
    [
        (WORDS.format('font-family="Sedge"'), "Sedge"),
        (WORDS.format("style=\"font: bold 9px 'Sedge Sans'\""), "Sedge Sans"),
        (SVG.format("<style>text{font-family:\\53 edge}</style><text>A</text>"), "Sedge"),
        (WORDS.format('font-family="&#83;edge"'), "Sedge"),
        (WORDS.format('font-family="Sedge"').encode("utf-16"), "Sedge"),
        (WORDS.format(""), "DejaVu Serif"),
        ('[[pieces]]\nkind = "lettering"\ntext = "Ada"\nfont = "Sedge"\n', "Sedge"),
        ("piece", "Sedge"),
        ("piece of no family", "Noto Sans"),
        ("mark", "Sedge"),
    ],
)
def test_another_font_of_the_family_makes_another_stamp(install, tmp_path, content, family):
    install("Tansy", 1)
    install(family, 1)
    if content == "piece":
        job = lettering(font=f"none, {family}")
    elif content == "piece of no family":
        job = lettering()
    elif content == "mark":
        (tmp_path / "mark.svg").write_text(WORDS.format(f'font-family="{family}"'))
        job = Job(pieces=(Mark(file=str(tmp_path / "mark.svg")),))
    else:
        path = tmp_path / ("art.toml" if content[:1] == "[" else "art.svg")
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        job = replace(Job(), artwork=str(path))
    before = stamp_fingerprint(job)
    install("Tansy", 2)
    assert stamp_fingerprint(job) == before
    install(family, 2)
    assert stamp_fingerprint(job) != before
    assert find_font(family)[0].path.name == f"{family}.ttf"


def test_a_mark_that_a_file_of_pieces_names_counts(tmp_path):
    (tmp_path / "art.toml").write_text('[[pieces]]\nkind = "mark"\nfile = "mark.svg"\n')
    found = []
    for side in (8, 9):
        (tmp_path / "mark.svg").write_text(SVG.format(f'<path d="M0 0h{side}v9z"/>'))
        found.append(stamp_fingerprint(replace(Job(), artwork=str(tmp_path / "art.toml"))))
    assert found[0] != found[1]


def test_where_files_lie_does_not_count(tmp_path):
    found = []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "mark.svg").write_text(SVG.format('<path d="M0 0h9v9z"/>'))
        found.append(stamp_fingerprint(Job(pieces=(Mark(file=str(tmp_path / name / "mark.svg")),))))
    assert found[0] == found[1]
