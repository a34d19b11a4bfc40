"""What is dragged from the asset browser in a real window serves the stamp."""

import pytest
from running import ROOT, Host
from test_window import told_in_window

# A window of its own, only with --all.
pytestmark = pytest.mark.sweep(0)


@pytest.fixture(scope="module")
def shelved(host: Host) -> dict:
    """What was dragged and came of it, and what the console said."""
    return told_in_window(host, "shelf", ROOT / "out" / "shelf", "shelf-*.png")


def test_all_of_it_is_dragged(shelved):
    assert shelved["errors"] == []
    assert "Traceback" not in shelved["console"]


def test_a_finish_dropped_on_a_part_is_the_parts_own(shelved):
    assert shelved["dropped on the handle"] == ["SILK", "OAT"]


def test_a_handle_dropped_beside_is_given_to_the_stamp_from_the_search_and_goes(shelved):
    assert shelved["dropped beside"] == "Handle, Tall Grip"
    form, left = shelved["used"]
    assert form == "grip"
    assert not [name for name in left if name.startswith("Handle")]


def test_a_handle_of_ones_own_is_found_in_another_file_and_used(shelved):
    assert "Ähre" in shelved["shown"]
    assert shelved["own"] == ["turned", "Ähre"]
