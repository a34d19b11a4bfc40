"""A printer that does not print true to size gets a file that makes up for it, and the stamp prints true."""

import pytest
import stampwright
from stampwright.files import read_mesh
from stampwright.output.ticket.known import figures_behind

PIECES = (stampwright.Rule(length=20.0, line=4.0), stampwright.Rule(y=6.0, length=8.0, line=2.0))


def test_a_die_is_written_larger_for_a_printer_that_prints_smaller(tmp_path):
    sizes = {"printer.size_across": 99.0, "printer.size_up": 100.5, "base.width": 26.0, "handle.form": "none"}
    job = stampwright.Job(pieces=PIECES).with_values(sizes)
    stamp, written = stampwright.make_files(job, stampwright.make_artwork(PIECES), tmp_path / "own")
    assert written is not None
    left, bottom, right, top = stampwright.impress(tmp_path / "own" / "die.stl", depth=0.2).outlines.bounds
    # Drawn 20 mm wide and 9 mm high.
    assert (right - left, top - bottom) == pytest.approx((20 / 0.99, 9 / 1.005), abs=0.002)
    left, _, right, _ = written.stamp.impression.outlines.bounds
    assert right - left == pytest.approx(20 + 2 * job.ink.spread, abs=0.01)
    assert read_mesh(tmp_path / "own" / "stamp.3mf").bounds[1][0] == pytest.approx(13 / 0.99, abs=1e-3)
    assert written.comparison.worst > 0.999
    backing = read_mesh(tmp_path / "own" / "backing.stl")
    assert backing.bounds[1] == pytest.approx(stamp.backing.bounds[1], abs=1e-4)
    assert "size across 99 % (assumed" in [figure.in_words() for figure in figures_behind(job)][-2]
