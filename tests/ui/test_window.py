"""The extension in a real window: what an artist does with it, every panel, and pictures to look at."""

import json
import shutil
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from running import ROOT, Host, run_in_window

HERE = Path(__file__).resolve().parent
PICTURES = ROOT / "out" / "ui"


@pytest.fixture(scope="module")
def toured(host: Host) -> dict:
    """What the tour told, what the console said, and the names of the pictures."""
    return told_in_window(host, "tour", PICTURES, "*.png")


def test_the_whole_tour_is_made(toured):
    assert toured["errors"] == []


def test_newcomer_makes_a_stamp_in_four_presses_or_fewer(toured):
    # N for the sidebar, the tab, the button; the curve is selected as it was drawn.
    assert toured["presses"] <= 4
    assert {"die", "backing", "handle"} <= set(toured["first"])


def test_stamp_comes_at_the_size_asked_for(toured):
    # The usual round base is 50 mm across; whatever the size of the drawing.
    assert toured["across"] == pytest.approx(50.0, abs=0.01)


def test_stamp_follows_a_dragged_figure_and_a_moved_point_by_itself(toured):
    assert toured["dragged"] > 0
    assert toured["follows the slider"]
    assert toured["follows while it moves"]
    assert toured["mode"] == "EDIT_CURVE"
    assert toured["follows the point"]


def test_an_edit_is_drawn_once_with_its_press_where_drawing_is_slow(toured):
    assert toured["drawings"] == [True]


def test_repair_is_pressed_in_the_list_of_findings(toured):
    assert toured["repaired"]
    assert toured["message"] == ""


def test_handle_asks_for_its_curve_and_is_turned_from_it(toured):
    assert "handle's profile" in toured["asked for"]
    assert toured["with a profile"] == ""


def test_stamp_is_pressed_by_itself_and_fully_on_request_unless_esc_stops_it(toured):
    assert 0.0 < toured["printed"] < 1.0
    assert toured["pressing-stopped"] == [True, False]
    assert toured["pressed-fully"] == [False, True]


def test_long_build_is_stopped_with_esc_and_leaves_the_stamp_as_it_was(toured):
    assert toured["long"]
    assert toured["stopped"]
    assert toured["after stopping"]


def test_files_are_written(toured):
    assert {"die.stl", "stamp.3mf", "proof.svg", "ticket.html"} <= set(toured["files"])


def test_opened_again_everything_is_as_it_was_and_goes_on(toured):
    assert toured["as it was"]
    assert toured["follows again"]


def test_every_panel_draws_without_a_word_on_the_console(toured):
    assert len(toured["panels"]) >= 10
    signs = ("Traceback", "Error", "error:", "rna_uiItem", "not found", "unknown", "Warning: ")
    said = [line for line in toured["console"].splitlines() if any(sign in line for sign in signs)]
    # The host's own word on its online repository, to which nobody has said yes.
    assert [line for line in said if "blender_org" not in line] == []


def test_every_picture_shows_something(toured):
    assert len(toured["pictures"]) > 20
    for name in toured["pictures"]:
        picture = np.asarray(Image.open(PICTURES / name).convert("L"))
        assert len(np.unique(picture)) > 50, name


def told_in_window(host: Host, script: str, folder: Path, taken: str) -> dict:
    """Run a script in Blender's window, keep the pictures named as ``taken``, and return all that was told."""
    for name in (f"{script}.py", "window.py", "drawn.py"):
        shutil.copy(HERE / name, host.place)
    console = run_in_window(host, f"{script}.py")
    told = host.place / f"{script}.json"
    assert told.is_file(), console[-3000:]
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    for picture in host.place.glob(taken):
        shutil.copy(picture, folder)
    return {**json.loads(told.read_text(encoding="utf-8")), "console": console}
