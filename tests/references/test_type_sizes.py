"""The guide's sizes of type are those from which every letter prints: all letters of the bundled fonts are measured.

Handbooks of flexography, whose plates are reliefs of rubber or photopolymer as a die is, give sans serif type of 4 to
6 pt as the smallest that prints, 6 to 8 pt where it is reversed (Flexographic Image Reproduction Specifications &
Tolerances, FIRST; from memory). Their plates hold lines of 0.1 mm; through a nozzle nothing can be smaller than that.
"""

import re
from pathlib import Path

import pytest
from shapely import get_parts
from stampwright import make_artwork
from stampwright.artwork.fonts import cap_height, find_font
from stampwright.examination import examine_job
from stampwright.job import Job
from stampwright.job.pieces import Lettering
from stampwright.templates.type_sizes import LEAST_CAPITALS, LEAST_DRAWN, least_cap_height, pen_for

PAGE = Path(__file__).resolve().parents[2] / "shared" / "guide" / "preparing-artwork.md"

ACCENTED = "".join(
    # Catalan's l with a dot and Iceland's eth are for nearly twice the size.
    letter
    for letter in map(chr, range(0xC0, 0x180))
    if letter.isalpha() and letter not in "ðĿŀ"
)

LETTERS = {
    "capitals A to Z": "ABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "digits, points, brackets": "0123456789.,;:!?&()-–/'\"+",
    "small letters a to z": "abcdefghijklmnopqrstuvwxyz",
    "letters with accents": ACCENTED,
    "signs such as @ % € $": "@#%*€$§",
}

COLUMNS = ((700.0, 0.4), (700.0, 0.25), (400.0, 0.4), (400.0, 0.25))

STEP = 0.5  # mm, to which the guide gives sizes
PER_POINT = 25.4 / 72


def sizes_in_the_guide() -> list[tuple[str, float, float, float]]:
    rows = re.findall(r"^\| ([^|]+) \| ([\d.]+) \| ([\d.]+) \| ([\d.]+) \| ([\d.]+) \|$", PAGE.read_text("utf-8"), re.M)
    return [
        (name, weight, nozzle, float(size))
        for name, *sizes in rows
        for (weight, nozzle), size in zip(COLUMNS, sizes, strict=True)
    ]


def found(letters: str, size: float, weight: float, nozzle: float, severities: tuple[str, ...]) -> list[str]:
    """Return what is found of letters that stand far apart, each a piece of its own."""
    pieces = [
        Lettering(text=letter, cap_height=size, weight=weight, x=3 * size * (at % 12), y=3 * size * (at // 12))
        for at, letter in enumerate(letters)
    ]
    job = Job().with_values(
        {
            **{"layout.size_by": "page", "layout.centre": "bounds", "base.outline": "follow", "ink.spread": 0.1},
            **{"printer.nozzle": nozzle, "printer.bed_width": 900.0, "printer.bed_depth": 900.0},
        }
    )
    seen = examine_job(job, make_artwork(pieces))
    return [each.message for each in seen.findings if each.severity in severities and each.place is not None]


def test_the_guide_gives_sizes_for_all_letters():
    assert sorted({name for name, *_ in sizes_in_the_guide()}) == sorted(LETTERS)
    assert len(sizes_in_the_guide()) == len(LETTERS) * len(COLUMNS)


@pytest.mark.sweep(4)
@pytest.mark.parametrize(("name", "weight", "nozzle", "size"), sizes_in_the_guide())
def test_every_letter_prints_from_the_size_that_the_guide_gives_and_not_below(name, weight, nozzle, size):
    assert found(LETTERS[name], size, weight, nozzle, ("blocks",)) == []
    assert found(LETTERS[name], size - STEP, weight, nozzle, ("blocks",))


@pytest.mark.parametrize(("name", "size"), [("capitals A to Z", 5.0), ("small letters a to z", 8.0)])
def test_large_bold_letters_are_drawn_in_two_passes(name, size):
    assert found(LETTERS[name], size, 700.0, 0.4, ("blocks", "warns")) == []
    assert found(LETTERS[name], size - 1, 700.0, 0.4, ("blocks", "warns"))


def test_templates_set_type_no_smaller_than_the_guide_says():
    classes = ("capitals", "digits", "small", "accented", "signs")
    guide = {(name, nozzle): size for name, weight, nozzle, size in sizes_in_the_guide() if weight == 700.0}
    for nozzle, sizes in LEAST_CAPITALS.items():
        assert [sizes[each] for each in classes] == [guide[name, nozzle] for name in LETTERS]


@pytest.mark.parametrize("letters", ["ÀÁÄÈÉËÌÍÏÒÓÖÙÚÜÝŸĆĹŃŔŚŹ", "àáäèéëìíïòóöùúüýÿćĺńŕśź", "ðĿŀ"])
@pytest.mark.parametrize("nozzle", [0.4, 0.25])
def test_letters_with_plain_accents_print_where_the_letters_do(letters, nozzle):
    size = least_cap_height(letters, nozzle, 0.1)
    assert found(letters, size, 700.0, nozzle, ("blocks",)) == []


MIDDLE_LINES = {
    "capitals": LETTERS["capitals A to Z"],
    "digits": LETTERS["digits, points, brackets"],
    "small": LETTERS["small letters a to z"],
    "accented": "ÄÉÜäéèöüñçåůšžßÅČřőğþøŁħ",
    "signs": LETTERS["signs such as @ % € $"],
    "eth": "ðĿŀ",
}


def seen_by_middle_lines(letters: str, size: float, nozzle: float) -> list[tuple[str, str]]:
    """Return severity and kind of what is found of letters drawn as templates draw them, well apart."""
    pen = pen_for(letters, size, 0.8, nozzle, 0.1)
    line = Lettering(
        text=" ".join(letters), cap_height=size, spacing=0.6 * size, weight=400, drawn="middle lines", stroke=pen
    )
    laid = {"layout.size_by": "page", "layout.centre": "bounds", "base.outline": "follow", "ink.spread": 0.1}
    job = Job().with_values({**laid, "printer.nozzle": nozzle, "printer.layer": 0.1, "printer.bed_width": 900.0})
    return [(each.severity, each.kind) for each in examine_job(job, make_artwork([line])).findings if each.place]


@pytest.mark.sweep(2)
@pytest.mark.parametrize("nozzle", list(LEAST_DRAWN))
@pytest.mark.parametrize("letters", MIDDLE_LINES.values(), ids=MIDDLE_LINES)
def test_letters_drawn_by_middle_lines_print_from_the_least_size_on(letters, nozzle):
    least = least_cap_height(letters, nozzle, 0.1, drawn="middle lines")
    for size in (least, least + 0.5):
        assert [kind for severity, kind in seen_by_middle_lines(letters, size, nozzle) if severity == "blocks"] == []


@pytest.mark.parametrize("letter", "ÀÉÎÖÚàéîöúĳ")
def test_marks_drawn_by_middle_lines_stay_apart_from_their_letter(letter):
    least = least_cap_height(letter, 0.4, 0.1, drawn="middle lines")
    for size in (least + step * STEP / 2 for step in range(8)):
        pen = pen_for(letter, size, 0.8, 0.4, 0.1)
        inked = make_artwork([Lettering(text=letter, cap_height=size, drawn="middle lines", stroke=pen)]).inked
        # Ink spreads by 0.1 mm from both.
        assert len(get_parts(inked.buffer(0.1))) == len(inked.geoms) > 1, size


@pytest.mark.sweep(1)
@pytest.mark.parametrize(("name", "size"), [("capitals", 4.0), ("small", 4.0), ("accented", 6.0)])
def test_letters_drawn_by_middle_lines_in_two_passes_do_not_even_warn(name, size):
    assert pen_for(MIDDLE_LINES[name], size, 0.8, 0.4, 0.1) == 0.8
    # Thin lines, gaps and counters: dots that stand apart are the text's affair.
    found = {kind for severity, kind in seen_by_middle_lines(MIDDLE_LINES[name], size, 0.4) if severity != "notes"}
    assert found <= {"isolated dot"}


def test_no_size_is_smaller_than_plates_of_rubber_hold():
    font, _ = find_font("Noto Sans", 700)
    smallest = min(size for *_, size in sizes_in_the_guide())
    assert smallest / cap_height(font) / PER_POINT >= 4.0
