"""The examination sheet shows the art large with every finding told, whatever the art and however it is written."""

from __future__ import annotations

import io
from functools import cache
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import resvg_py
import shapely
from PIL import Image
from shapely.geometry import LineString, MultiPolygon, Point, box
from stampwright.artwork import Artwork
from stampwright.errors import OutputError
from stampwright.findings import counted, gathered
from stampwright.job import Job
from stampwright.output import check_form, examination_file
from stampwright.output.sheets.examined import examination_blocks
from stampwright.output.sheets.figure import MOST_NUMBERED, art_figure
from stampwright.output.sheets.loupes import MOST_LOUPES, worst_places
from stampwright.output.sketches.marks import DrawnLine, Fill, Words
from stampwright.remedy import Answer, answer_for

A4_HIGH = 297.0 - 20.0


def art(*regions: shapely.Geometry, name: str = "art") -> Artwork:
    whole = shapely.union_all(regions)
    return Artwork(whole if isinstance(whole, MultiPolygon) else MultiPolygon([whole]), (50.0, 50.0), name=name)


def answered(artwork: Artwork, **settings: object) -> Answer:
    job = Job().with_values({name.replace("__", "."): value for name, value in settings.items()})
    return answer_for(job, artwork, look_for_ways=False)


@cache
def crowd() -> Answer:
    hairs = [box(x, 2 * y, x + 0.2, 2 * y + 1.4) for x in range(20) for y in range(15)]
    return answered(art(*hairs), layout__size_by="page", layout__centre="bounds")


CASES = {
    "crowd": crowd,
    "tiny": lambda: answered(art(box(0, 0, 1, 0.1), box(0, 0, 0.1, 1)), layout__size_by="width", layout__width=3.0),
    "over the base": lambda: answered(art(box(0, 0, 40, 4), Point(20, 9).buffer(4)), layout__size_by="page"),
    "huge": lambda: answered(
        art(box(0, 0, 180, 1), box(0, 0, 1, 150), Point(90, 90).buffer(0.2)), layout__size_by="page", base__width=200.0
    ),
    "long names": lambda: answered(art(box(0, 0, 9, 9), name="Ünïcode 種子 " * 30), name="W" * 300),
    "nothing found": lambda: answered(art(box(0, 0, 9, 9))),
}


@pytest.fixture(scope="module", params=CASES)
def answer(request: pytest.FixtureRequest) -> Answer:
    return CASES[request.param]()


def test_every_block_goes_onto_one_page_and_tells_every_kind(answer: Answer) -> None:
    assert all(block.height <= A4_HIGH for block in examination_blocks(answer))
    told = "".join(ElementTree.fromstring(examination_file("sheet.svg", answer).decode()).itertext())
    for alike in gathered(answer.examined.findings):
        assert alike[0].kind in told
        count = counted(answer.examined.findings, alike[0].severity)[alike[0].kind]
        if count > 1:
            assert f"{count} places" in told
    assert (answer.examined.job.name * 1)[:40] in told.replace("\n", "")


def test_nothing_runs_into_the_margins(answer: Answer) -> None:
    drawn = resvg_py.svg_to_bytes(svg_string=examination_file("sheet.svg", answer).decode(), dpi=50, background="white")
    grey = np.asarray(Image.open(io.BytesIO(bytes(drawn))).convert("L"))
    assert (grey[:, :14] == 255).all()
    assert (grey[:, -14:] == 255).all()
    assert (grey[:14] == 255).all()


def test_art_fills_the_width_or_the_height_of_its_figure(answer: Answer) -> None:
    figure = art_figure(answer.examined, 190.0)
    ink = max((mark for mark in figure.marks if isinstance(mark, Fill)), key=lambda mark: mark.laid.area)
    left, top, right, bottom = ink.laid.bounds
    given = answer.examined.given.inked.bounds
    scale = (right - left) / (given[2] - given[0])
    # Up to twenty times as large; rounding of the scale to two digits takes up to a tenth, the base round it an eighth.
    assert max((right - left) / 166.0, (bottom - top) / 150.0, scale / 20.0) > 0.75


def test_lines_to_places_lie_on_paper_and_do_not_cross() -> None:
    figure = art_figure(crowd().examined, 190.0)
    ink = next(mark for mark in figure.marks if isinstance(mark, Fill) and mark.region.geom_type == "MultiPolygon").laid
    drawn = [mark for mark in figure.marks if isinstance(mark, DrawnLine) and len(mark.points) == 2]
    leads = [LineString(mark.points) for mark in drawn if mark.width == 0.3]
    assert len(leads) == MOST_NUMBERED
    # Under each lies a line of paper, so that it shows where it must cross ink.
    assert {mark.points for mark in drawn if mark.width == 0.7} >= {tuple(line.coords) for line in leads}
    assert not any(one.crosses(other) for one, other in combinations(leads, 2))
    assert sum(line.intersection(ink).length for line in leads) <= 0.1 * sum(line.length for line in leads)


def test_loupes_show_the_worst_of_every_kind_first_and_no_place_twice() -> None:
    found = crowd().examined
    worst = worst_places(found)
    assert 1 <= len(worst) <= MOST_LOUPES
    places = [finding.place.centroid for _, finding in worst]
    assert all(one.distance(other) > 0.5 for at, one in enumerate(places) for other in places[:at])
    kinds = {finding.kind for finding in found.findings if finding.severity != "notes" and finding.place is not None}
    assert {finding.kind for _, finding in worst} == kinds or len(worst) == MOST_LOUPES


def test_what_repair_would_change_is_shown_with_its_share_of_the_ink() -> None:
    answer = CASES["tiny"]()
    assert answer.repaired is not None
    told = "".join(ElementTree.fromstring(examination_file("sheet.svg", answer).decode()).itertext())
    added = answer.repaired.laid.repair.added.area
    assert f"{added:.2f} mm² added" in told
    assert "What repair would change" in told


def test_every_form_is_written_whole_and_needs_nothing_else(answer: Answer, tmp_path: Path) -> None:
    page = examination_file("sheet.html", answer).decode()
    assert "<script" not in page
    assert not [word for word in ("http://", "https://", "src=", "@import", "url(") if word in _own(page)]
    assert examination_file("sheet.svg", answer) == examination_file("again.SVG", answer)
    picture = Image.open(io.BytesIO(examination_file(tmp_path / "sheet.png", answer)))
    assert picture.size[0] == round(210 * 200 / 25.4)
    with pytest.raises(OutputError, match=r"\.svg, \.png, \.html"):
        check_form("sheet.pdf")


def _own(page: str) -> str:
    return page.replace("http://www.w3.org/2000/svg", "")


def test_findings_that_are_only_counted_are_told_each_by_itself() -> None:
    specks = [Point(2 * x, 2 * y).buffer(size) for x in range(10) for y, size in enumerate([0.1] * 6 + [0.3] * 6)]
    answer = answered(art(*specks), layout__size_by="page", layout__centre="bounds")
    said = [mark.said for block in examination_blocks(answer) for mark in block.marks if isinstance(mark, Words)]
    more = [line for line in said if "more of this kind" in line]
    assert len(more) == 2
    assert not [line for line in more if "places" in line]
