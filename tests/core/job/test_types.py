"""What is of a wrong type is refused in one line, wherever it comes in."""

from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, Polygon, box
from stampwright import (
    Artwork,
    ArtworkError,
    Job,
    JobError,
    examine_artwork,
    make_artwork,
    make_die,
    make_stamp,
    read_artwork,
    read_job,
)
from stampwright.job.pieces import Ring
from stampwright.job.sections.parts import DieSection


def refused(call, *words):
    """Check that a call raises one of our errors, in one line that says the words."""
    with pytest.raises((JobError, ArtworkError)) as caught:
        call()
    message = str(caught.value)
    assert "\n" not in message
    for word in words:
        assert word in message


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"die": {"relief": 1.6}}, ("die", "DieSection", "dict", "with_value")),
        ({"die": None}, ("die", "DieSection")),
        ({"base": DieSection()}, ("base", "BaseSection", "DieSection")),
        ({"pieces": ["x"]}, ("pieces[1]", "str")),
        ({"pieces": "ring"}, ("pieces", "str")),
        ({"pieces": 3}, ("pieces", "int")),
        ({"pieces": None}, ("pieces",)),
        ({"pieces": [Ring()] * 501}, ("pieces", "501")),
        ({"name": 3}, ("name",)),
    ],
)
def test_a_job_of_wrong_things_says_what_it_takes(values, words):
    refused(lambda: Job(**values), *words)


def test_a_section_checks_itself():
    refused(lambda: replace(Job().die, relief=99), "die.relief", "0.4 to 20 mm")
    refused(lambda: DieSection(relief="high"), "die.relief")
    assert DieSection(relief=2).relief == 2.0
    assert type(DieSection(relief=np.float32(2)).relief) is float


def test_pieces_that_are_none_are_named():
    refused(lambda: make_artwork(["x"]), "pieces[1]")
    refused(lambda: make_artwork(None), "pieces")
    refused(lambda: make_artwork([Ring()], fitted_to=float("nan")), "fitted_to")
    refused(lambda: make_artwork([Ring()], tolerance=0), "tolerance")


@pytest.mark.parametrize("fitted_to", [-1, float("nan"), float("inf"), "50", None, True])
def test_art_is_not_fitted_to_what_is_no_length(tmp_path, fitted_to):
    path = tmp_path / "mark.svg"
    path.write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M1 1h7v7z"/></svg>')
    refused(lambda: read_artwork(path, fitted_to=fitted_to), "fitted_to")


def test_art_fitted_to_nothing_is_not_enlarged(tmp_path):
    path = tmp_path / "mark.svg"
    path.write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M1 1h7v7z"/></svg>')
    assert read_artwork(path, fitted_to=0).inked.equals(read_artwork(path, fitted_to=1).inked)


def test_paths_that_are_none_are_refused():
    refused(lambda: read_artwork(None), "NoneType")
    refused(lambda: read_artwork("mark.svg", tracing={"dpi": 300}), "TracingSection")
    refused(lambda: read_artwork("a\0b"), "cannot be read")
    refused(lambda: read_job(3), "int")
    refused(lambda: read_job("a\0b.toml"), "cannot be read")


def test_a_stamp_takes_a_job_and_artwork():
    art = make_artwork([Ring()])
    for make in (make_stamp, make_die, examine_artwork):
        refused(lambda make=make: make({}, art), "Job", "dict")
        refused(lambda make=make: make(Job(), "mark.svg"), "read_artwork", "str")


def test_artwork_without_places_is_refused():
    with np.errstate(invalid="ignore"):
        nowhere = MultiPolygon([Polygon([(0, 0), (1, 0), (np.nan, 1)])])
    refused(lambda: Artwork(inked=nowhere, page_size=(1, 1)), "no numbers")
    refused(lambda: Artwork(inked=box(0, 0, 1, 1), page_size=(1, 1)), "MultiPolygon", "Polygon")
