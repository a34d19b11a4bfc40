"""A table of names in a real window: stopped by Esc half-way, what is made stays, and the next run goes on from it."""

import pytest
from running import ROOT, Host
from test_window import told_in_window


@pytest.fixture(scope="module")
def table(host: Host) -> dict:
    """What going through the table told, and what the console said."""
    return told_in_window(host, "table", ROOT / "out" / "table", "table-*.png")


def test_the_whole_table_is_gone_through(table):
    assert table["errors"] == []
    assert "Traceback" not in table["console"]


def test_esc_stops_half_way_and_what_is_made_stays(table):
    assert 1 <= len(table["after Esc"]) < 7
    assert table["words after Esc"] == "SOW"
    assert "Stopped:" in table["console"]


def test_run_again_it_goes_on_where_it_was_stopped(table):
    assert len(table["at the end"]) == 7
    assert table["kept"]
    assert table["words at the end"] == "SOW"
