"""What is made can be read: an outside reader of print reads impressions as well as it reads the artwork itself.

The reader is in print_reader.py; without it these are skipped.
Minimum sizes of handbooks stand beside the sizes of type (test_type_sizes.py).
"""

from itertools import cycle

from stampwright import make_artwork
from stampwright.artwork.fonts import cap_height, find_font
from stampwright.examination import examine_job
from stampwright.job import Job
from stampwright.job.pieces import Lettering

from .print_reader import edits, misread, needs_reader

PER_POINT = 25.4 / 72
SIZES = (5, 6, 7, 8, 9, 10, 11, 12, 13, 14)  # pt
FACES = (("Noto Sans", 400), ("Noto Sans", 700), ("DejaVu Sans", 400), ("DejaVu Serif", 700))

TEXTS = (
    "Mossgate Seed Library", "Return by Friday", "Runner beans", "SOW IN APRIL", "Open daily 9 to 5", "Winter squash",
    "LENT NOT SOLD", "Handle with care", "Best before March", "Parsley and dill", "Bag 12 of 40", "Quick growing",
    "Keep dry", "Received with thanks", "PAID IN FULL", "Second harvest", "Broad beans 2026", "Member since 1998",
    "Zinnia mixed", "Purple kale", "Row 7 plot 3", "Swap me", "Copy for the file", "Do not bend", "Fragile roots",
    "Garden club", "Juniper berries", "Grown by hand", "Early potatoes", "Vine tomatoes", "Plant after frost",
    "Number 40312", "Checked and weighed", "Fox and hedgehog", "Yarrow tea", "Library copy", "Sweet peas",
    "Wash before use", "Old orchard", "Thank you",
)  # fmt: skip

CASES = [
    (text, face, size)
    for (text, face), size in zip(((text, face) for face in FACES for text in TEXTS), cycle(SIZES), strict=False)
]

WAYS = {
    "as it is": {},
    "repaired": {"preflight.repair": True},
    "redrawn": {"preflight.repair": True, "preflight.repair_by": "middle-lines"},
}

pytestmark = needs_reader


def examined(text, face, size, values):
    family, weight = face
    font, found = find_font(family, weight)
    if found:
        return None
    piece = Lettering(text=text, font=family, weight=weight, cap_height=size * PER_POINT * cap_height(font))
    job = Job().with_values({"layout.size_by": "page", "layout.centre": "bounds", "base.outline": "follow", **values})
    return examine_job(job, make_artwork([piece]))


def test_distance_counts_edits():
    assert [edits(*pair) for pair in (("seed", "seed"), ("seed", "sed"), ("", "ab"), ("kitten", "sitting"))] == [
        0,
        1,
        2,
        3,
    ]


def test_every_text_that_is_made_is_read_as_well_as_its_artwork(sweep, tmp_path, capsys):
    """Each as it is and, where that is refused, mended either way; what stays refused is listed with what was read."""
    worse, refused, made, absent = [], [], dict.fromkeys(WAYS, 0), set()
    for text, face, size in sweep(CASES, quick=7):
        first, given = None, 0
        for way, values in WAYS.items():
            seen = examined(text, face, size, values)
            if seen is None:
                absent.add(face)
                break
            if first is None:
                first, given = seen, misread(seen.given.inked, text, tmp_path)
            if seen.blocked:
                continue
            made[way] += 1
            printed = misread(seen.printed, text, tmp_path)
            if printed > given:
                worse.append(
                    f"{text!r} in {face[0]} {face[1]} at {size} pt {way}: {printed} letters wrong, {given} in the art"
                )
            break
        else:
            kinds = ", ".join(sorted({finding.kind for finding in first.blocked}))
            wrong = misread(first.printed, text, tmp_path)
            refused.append(
                f"{text!r} in {face[0]} {face[1]} at {size} pt: {wrong} letters wrong, {given} in the art; {kinds}"
            )
    with capsys.disabled():
        print(f"\nmade: {made}; refused: {len(refused)}; read worse: {len(worse)}")
        print(*refused, *(f"no font {face}" for face in absent), sep="\n")
    assert worse == []
    assert sum(made.values()) >= 3
    assert refused
