"""The ticket says all that the workshop needs, on its own, with cautions that defer to the makers."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from shapely import affinity
from stampwright.findings import Finding
from stampwright.output import ticket_html
from stampwright.output.ticket.advice import cautions, making
from stampwright.solids.solid import Solid
from stampwright.stamp import Stamp


class _Reader(HTMLParser):
    """Checks that elements close in order, and gathers what is read."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.links: list[str] = []
        self.words = ""
        self.feed(page)
        assert not self.open

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [value or "" for name, value in attrs if name in ("src", "href", "action", "data")]
        if tag != "meta":
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, words: str) -> None:
        if self.open and self.open[-1] != "style":
            self.words += words


def test_it_needs_nothing_from_anywhere(stamp: Stamp) -> None:
    page = ticket_html(stamp)
    reader = _Reader(page)
    assert not reader.links
    assert not {"script", "link", "img", "iframe"} & set(reader.tags)
    assert set(re.findall(r"https?://[^\"' <]+", page)) == {"http://www.w3.org/2000/svg"}
    assert "@import" not in page
    assert reader.tags.count("section") == 2


def test_it_gives_sizes_materials_mass_time_and_cost(stamp: Stamp) -> None:
    words = _Reader(ticket_html(stamp)).words
    for part, measured in stamp.measures.items():
        assert part in words
        assert f"{measured.mass:.1f}" in words
        assert f"{measured.cost:.2f}" in words
    assert "TPU 95A" in words
    assert "50.0 × 50.0" in words
    assert "estimates" in words


def test_the_proof_on_it_is_at_true_size(stamp: Stamp) -> None:
    page = ticket_html(stamp)
    width, height, across, up = map(
        float, re.search(r'width="([\d.]+)mm" height="([\d.]+)mm" viewBox="0 0 ([\d.]+) ([\d.]+)"', page).groups()
    )
    assert (width, height) == (across, up)
    assert "true size" in page


def test_a_proof_too_large_for_the_page_is_shown_smaller_and_says_so(stamp: Stamp) -> None:
    layout = replace(stamp.layout, base=affinity.scale(stamp.layout.base, 6, 6))
    words = _Reader(ticket_html(replace(stamp, layout=layout))).words
    assert re.search(r"Proof at \d\d\s% of true size; proof\.svg is at true size", words)


def test_it_covers_the_work_from_printing_to_inking(stamp: Stamp) -> None:
    titles = [step.title for step in making(stamp)]
    assert titles == ["Print the die", "Print the backing and the handle", "Dress the face", "Glue", "Ink and try"]
    words = " ".join(note.words for step in making(stamp) for note in step.notes)
    for needed in ("20 mm/s", "Dry", "direct-drive", "0.2 mm off", "150 grit", "up mark", "pad"):
        assert needed in words
    assert all(note.source for step in making(stamp) for note in step.notes)


def test_flexible_filament_is_treated_as_such_and_hard_as_hard(stamp: Stamp) -> None:
    hard = replace(stamp, job=stamp.job.with_value("die.material", "pla"))
    assert not any("direct-drive" in note.words for step in making(hard) for note in step.notes)


def test_cautions_cover_the_dangers_and_defer(stamp: Stamp) -> None:
    assert [word for word, _ in cautions(stamp)] == ["Fumes", "Heat", "Dust", "Glue", "Children", "Food", "Rights"]
    words = _Reader(ticket_html(stamp)).words
    assert re.search(r"data sheets of the makers.*local rules.*come before", words)
    alone = replace(stamp, backing=None, handle=None, cushion=None)
    assert "Glue" not in [word for word, _ in cautions(alone)]
    assert "Glue" not in [step.title for step in making(alone)]


def test_parts_that_fit_the_small_parts_cylinder_are_named(stamp: Stamp) -> None:
    # 16 CFR 1501.4: a cylinder 1.25 in (31.75 mm) across and up to 2.25 in (57.15 mm) deep.
    def told(scale: float) -> str:
        part = Solid("handle", stamp.handle.vertices * scale, stamp.handle.triangles)
        return dict(cautions(replace(stamp, handle=part)))["Children"].words

    assert "handle may count" in told(0.4)
    assert "may count" not in told(1.0)


@pytest.mark.parametrize("name", ['<script>alert("x")</script>', "&amp;&lt;", "W" * 500, " "])
def test_whatever_the_user_wrote_is_text(name: str, stamp: Stamp) -> None:
    reader = _Reader(ticket_html(replace(stamp, job=stamp.job.with_value("name", name))))
    assert "script" not in reader.tags
    assert name[:40].strip() in reader.words


@pytest.mark.parametrize("times", [1.0, 0.2, 6.0])
def test_the_bar_is_ten_millimetres_on_the_page_whatever_the_scale(times: float, stamp: Stamp) -> None:
    layout = replace(stamp.layout, base=affinity.scale(stamp.layout.base, times, times))
    page = ticket_html(replace(stamp, layout=layout))
    width, across = map(float, re.search(r'width="([\d.]+)mm" height="[\d.]+mm" viewBox="0 0 ([\d.]+) ', page).groups())
    grown = re.search(r'translate\([\d.]+ [\d.]+\)(?: scale\(([\d.]+)\))?"><path d="M0 -1V1M0 0H10', page)
    assert 10.0 * float(grown[1] or 1.0) * width / across == pytest.approx(10.0, rel=1e-4)
    assert "the bar is 10 mm" in page


@pytest.mark.parametrize("name", ["The Mossgate Seed Library and its members " * 8, "W" * 400])
def test_a_long_name_is_never_cut(name: str, stamp: Stamp) -> None:
    name = name.strip()
    page = ticket_html(replace(stamp, job=stamp.job.with_value("name", name)))
    # In the title, and at the head of both pages.
    assert _Reader(page).words.count(name) == 3
    assert "line-clamp" not in page
    assert float(re.search(r"font-size:([\d.]+)mm", page)[1]) < 5.0


def test_what_has_no_room_goes_to_a_page_of_its_own(stamp: Stamp) -> None:
    spot = stamp.layout.base.centroid.buffer(0.3)
    words = "the ink is 0.30 mm across and wants a good deal more words than fit on a line of this page"
    many = [
        Finding(kind=f"kind {number}", severity="warns", stage="preflight", message=words, place=spot)
        for number in range(30)
    ]
    reader = _Reader(ticket_html(replace(stamp, findings=tuple(many))))
    assert reader.tags.count("section") == 3
    assert all(f"kind {number}:" in reader.words for number in range(30))
    assert "report.json lists" not in reader.words


def test_it_tells_what_to_dress_to_and_what_the_finished_stamp_is(stamp: Stamp) -> None:
    words = _Reader(ticket_html(stamp)).words
    assert "0.2 mm: the die from 4.2 to 4 mm" in words
    assert "until the die is 4 mm thick" in words
    # Backing 4 less seat 1, die 4.0 dressed, handle 45: the die stands in its seat.
    assert "52.0 mm high" in words
    assert f"about {sum(each.mass for each in stamp.measures.values()):.0f} g" in words


def test_it_warns_of_what_spoils_a_face_in_printing(stamp: Stamp) -> None:
    def words(nozzle: float) -> str:
        job = stamp.job.with_value("printer.nozzle", nozzle)
        return " ".join(note.words for step in making(replace(stamp, job=job)) for note in step.notes)

    for needed in ("ironing", "outer lines before inner", "Strings"):
        assert needed in words(0.4)
    assert "Through 0.25 mm" in words(0.25)
    assert "Through" not in words(0.4)
