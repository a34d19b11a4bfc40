"""Path data is read as svgelements, an independent reader, has it."""

import re

import pytest
import svgelements
from stampwright.artwork.outlines.curves import MOVE, count_pieces, flattened
from stampwright.artwork.outlines.dashing import total_length
from stampwright.artwork.outlines.pathdata import read_path

PATHS = [
    "M10 10h20v20h-20zm40 40l5-5 5 5z",
    "M10 80C40 10 65 10 95 80S150 150 180 80",
    "M10 80Q52.5 10 95 80T180 80",
    "m10 20a30 50-30 0162.55 162.45l10 5A5 5 0 1 0 3 4",
    "M.5.5-1-2l1e1 2.5E-1",
]


def check(data):
    ours, wrong = read_path(data)
    theirs = svgelements.Path(data)
    assert wrong == ""
    lines = flattened(ours, count_pieces(ours, 1e-4))
    assert total_length(lines) == pytest.approx(theirs.length(error=1e-5), rel=2e-4, abs=1e-6)
    moves = [tuple(step[3]) for step in ours.corners[ours.kinds == MOVE]]
    expected = [(segment.end.x, segment.end.y) for segment in theirs if isinstance(segment, svgelements.Move)]
    assert [moves[0], moves[-1]] == [pytest.approx(expected[0]), pytest.approx(expected[-1])]
    last = theirs.current_point
    assert tuple(ours.corners[-1][3]) == pytest.approx((last.x, last.y), abs=1e-9)


@pytest.mark.parametrize("data", PATHS)
def test_commands_lead_where_they_should(data):
    check(data)


def test_paths_of_icons_have_the_length_that_svgelements_measures(icon_files):
    checked = 0
    for path in icon_files("bootstrap-icons")[::60]:
        for data in re.findall(r'\sd="([^"]+)"', path.read_text(encoding="utf-8")):
            check(data)
            checked += 1
    assert checked > 30
