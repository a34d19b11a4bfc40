"""From an empty scene to files, a picture and back in a real window, by the menus and the search that artists use."""

import pytest
from running import ROOT, Host
from test_window import told_in_window


@pytest.fixture(scope="module")
def walked(host: Host) -> dict:
    """What the walk told, and what the console said."""
    return told_in_window(host, "walk", ROOT / "out" / "walk", "walk-*.png")


def test_the_whole_walk_is_made(walked):
    assert walked["errors"] == []
    assert "Traceback" not in walked["console"]


def test_an_empty_scene_has_a_stamp_after_one_search_in_the_add_menu(walked):
    assert {"die", "backing", "handle", "paper"} <= set(walked["template"])


def test_handles_in_the_viewport_are_dragged_by_the_mouse(walked):
    width, height = walked["sized by hand"]["base.width"], walked["sized by hand"]["handle.height"]
    assert width[1] > width[0] + 1.0
    assert height[1] > height[0] + 1.0
    # The arrow ends at the base's edge, half its width from the middle.
    assert walked["wide by hand"] == pytest.approx(2 * width[1], abs=0.2)


def test_a_drawing_that_stands_upright_prints_and_is_told_to_be_turned(walked):
    assert "turned artwork" in walked["pencil"]
    assert len(walked["pencil prints"]) == 3
    assert min(walked["pencil prints"]) > 5.0


def test_a_duplicate_is_a_stamp_of_its_own(walked):
    assert walked["duplicated"] == pytest.approx([50.0, 40.0], abs=0.1)


def test_an_animated_relief_is_built_at_every_frame(walked):
    # A floor of 2.0 mm and 0.2 mm to be dressed off, under and over a relief of 1, 2 and 3 mm.
    assert walked["heights"] == pytest.approx([3.2, 4.2, 5.2], abs=0.01)


def test_all_stamps_are_exported_each_into_its_folder(walked):
    assert len(walked["files"]) == 3
    for files in walked["files"].values():
        assert {"die.stl", "stamp.3mf", "proof.svg", "ticket.html", "job.json"} <= set(files)


def test_a_picture_is_made_and_there_is_a_way_back(walked):
    assert len(walked["rendered"]) == 1
    assert walked["in the picture"]
    assert walked["back"]
