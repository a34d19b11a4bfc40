"""Heights are whole layers, and what that changed is said."""

import pytest
from stampwright.job import Job
from stampwright.job.heights import whole_layers
from stampwright.parts import snap_heights


@pytest.mark.parametrize(
    ("height", "layer", "snapped"),
    # An open slicer's documentation gives 20.1 mm at 0.2 mm layers as 20.2 mm.
    [(20.1, 0.2, 20.2), (2.0, 0.2, 2.0), (0.3, 0.2, 0.4), (1.0, 0.3, 0.9), (0.05, 0.2, 0.2), (0.0, 0.2, 0.0)],
)
def test_height_is_the_nearest_whole_number_of_layers(height: float, layer: float, snapped: float) -> None:
    assert whole_layers(height, layer) == pytest.approx(snapped, abs=1e-12)


def test_fitting_heights_are_left_alone_without_a_word() -> None:
    heights = snap_heights(Job())
    assert (heights.floor, heights.relief, heights.dressing) == (2.0, 2.0, 0.2)
    assert heights.findings == ()


def test_changed_heights_are_noted_with_both_figures() -> None:
    (finding,) = snap_heights(Job().with_value("die.relief", 1.93)).findings
    assert (finding.kind, finding.severity, finding.stage) == ("height in whole layers", "notes", "build")
    assert (finding.measured, finding.limit) == (1.93, 2.0)
    assert "die.relief = 1.93 mm becomes 2 mm" in finding.message


def test_parts_that_are_not_made_are_not_mentioned() -> None:
    job = Job().with_values(
        {"backing.thickness": 4.1, "handle.height": 45.05, "backing.form": "none", "handle.form": "none"}
    )
    assert snap_heights(job).findings == ()


def test_recess_leaves_something_under_it() -> None:
    # One-millimetre layers turn 1.4 mm of plate into 1 and its seat of 1 mm would go through.
    job = Job().with_values({"backing.thickness": 1.45, "backing.seat_depth": 1.0, "backing.grooves": False})
    heights = snap_heights(job.with_value("printer.layer", 1.0))
    assert heights.backing - heights.seat_depth - heights.groove_depth >= 0.4
