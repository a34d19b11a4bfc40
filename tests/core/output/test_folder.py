"""A stamp's files are proven from what was written, and come into their folder together or not at all."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from stampwright.artwork import Artwork
from stampwright.errors import Cancelled, OutputError, ProofError
from stampwright.files import read_mesh, read_stl
from stampwright.job.written.files import read_job
from stampwright.output import PLATES, RESULT_FILES, check_folder, write_folder
from stampwright.press import compare, impress
from stampwright.solids.solid import Solid
from stampwright.stamp import Stamp
from stampwright.workshop import make_stamp


def test_all_files_come_and_agree_with_the_stamp(stamp: Stamp, tmp_path: Path) -> None:
    written = write_folder(tmp_path / "out", stamp, timings={"make": 1.5})
    # A plain face brings neither sculpt nor picture, and a stamp of two filaments, on one bed each, a file for both.
    wanted = set(RESULT_FILES) - {"sculpt.tif", "face.png", *PLATES} | {"tpu-95a.3mf", "pla.3mf"}
    assert {path.name for path in (tmp_path / "out").iterdir()} == wanted
    assert set(written.files) == wanted
    assert not written.left_over
    assert read_job(written.files["job.json"]) == stamp.job
    for part in stamp.parts.values():
        assert read_stl(written.files[f"{part.name}.stl"]).volume == pytest.approx(part.volume, rel=1e-6)
        assert read_mesh(written.files["stamp.3mf"], part=part.name).volume == pytest.approx(part.volume, rel=1e-6)


def test_the_report_tells_what_was_found_in_the_written_files(stamp: Stamp, tmp_path: Path) -> None:
    written = write_folder(tmp_path, stamp, timings={"make": 1.5}, version="7.8")
    report = json.loads((tmp_path / "report.json").read_text(encoding="utf-8"))
    assert report == json.loads(json.dumps(written.report))
    assert report["version"] == "7.8"
    assert report["seconds"]["make"] == 1.5
    assert report["proof"]["iou"] >= 0.99
    assert report["proof"]["raster_iou"] >= 0.99
    assert report["proof"]["dpi"] == 600
    assert report["repair"]["added"] == pytest.approx(stamp.repair.added.area)
    assert len(report["findings"]) == len(stamp.findings) == sum(report["counts"].values())
    for file, part in (("die.stl", "die"), ("stamp.3mf", "die"), ("stamp.3mf", "handle"), ("handle.stl", "handle")):
        assert report["files"][file][part]["sound"]
        assert report["files"][file][part]["volume"] == pytest.approx(report["parts"][part]["volume"], rel=1e-6)


def test_the_impression_is_that_of_the_written_die(stamp: Stamp, tmp_path: Path) -> None:
    written = write_folder(tmp_path, stamp)
    pressed = impress(read_mesh(tmp_path / "die.stl"), depth=stamp.job.die.dressing)
    assert compare(pressed, stamp.inked).worst == pytest.approx(written.comparison.worst)
    spread = written.stamp.impression.outlines
    assert spread.symmetric_difference(stamp.inked.buffer(stamp.job.ink.spread)).area < 0.002 * spread.area


def test_a_face_drawn_in_for_spread_is_no_fault(stamp: Stamp, artwork: Artwork, tmp_path: Path) -> None:
    drawn_in = make_stamp(stamp.job.with_values({"die.compensate_spread": True, "ink.spread": 0.2}), artwork)
    written = write_folder(tmp_path, drawn_in)
    assert written.comparison.worst >= 0.99
    assert written.comparison.printed_area < 0.95 * drawn_in.inked.area
    assert compare(written.stamp.impression, drawn_in.inked).iou > 0.98


def test_the_same_stamp_gives_the_same_bytes(stamp: Stamp, tmp_path: Path) -> None:
    write_folder(tmp_path / "one", stamp)
    written = write_folder(tmp_path / "two", stamp)
    for name in written.files:
        if name != "report.json":  # which tells the time that it took
            assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes(), name


def test_a_die_that_prints_reversed_is_not_let_in(stamp: Stamp, tmp_path: Path) -> None:
    reversed_die = Solid("die", stamp.die.vertices * [-1, 1, 1], stamp.die.triangles[:, ::-1])
    with pytest.raises(ProofError, match="does not print the artwork"):
        write_folder(tmp_path / "out", replace(stamp, die=reversed_die))
    assert not list(tmp_path.iterdir())


def test_a_part_that_is_no_solid_is_not_let_in(stamp: Stamp, tmp_path: Path) -> None:
    torn = Solid("handle", stamp.handle.vertices, np.delete(stamp.handle.triangles, 5, axis=0))
    with pytest.raises(ProofError, match=r"handle\.stl: the handle .* open edges"):
        write_folder(tmp_path / "out", replace(stamp, handle=torn))
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    "stage",
    ["write solids", "read back", "prove", "compute the push", "write proof and ticket", "move into place"],
)
def test_work_can_be_stopped_at_every_stage_and_leaves_nothing(stage: str, stamp: Stamp, tmp_path: Path) -> None:
    def stop(now: str, share: float) -> None:
        assert 0 <= share <= 1
        if now == stage:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        write_folder(tmp_path / "out", stamp, progress=stop)
    assert not list(tmp_path.iterdir())


def test_existing_files_are_kept_unless_told_and_left_over_ones_named(stamp: Stamp, tmp_path: Path) -> None:
    (tmp_path / "ticket.html").write_text("theirs")
    (tmp_path / "handle.stl").write_text("old")
    for attempt in (lambda: check_folder(tmp_path), lambda: write_folder(tmp_path, stamp)):
        with pytest.raises(OutputError, match="already"):
            attempt()
    assert (tmp_path / "ticket.html").read_text() == "theirs"
    check_folder(tmp_path, overwrite=True)
    without = replace(stamp, handle=None, measures={"die": stamp.measures["die"], "backing": stamp.measures["backing"]})
    written = write_folder(tmp_path, without, overwrite=True)
    assert written.left_over == ("handle.stl",)
    assert (tmp_path / "handle.stl").read_text() == "old"
    assert "Mossgate" in (tmp_path / "ticket.html").read_text()


def test_what_pressing_takes_goes_with_the_files(stamp: Stamp, tmp_path: Path) -> None:
    assert stamp.pressing is None
    written = write_folder(tmp_path, stamp)
    pressing, told = written.stamp.pressing, written.report["pressing"]
    assert told["whole_at"] == pytest.approx(pressing.whole_at, abs=0.01)
    assert told["whole_at"] < told["hand"]["newtons"]
    assert told["printed_share"] > told["whole_share"]
    assert 0.0 < told["dressing_needed"] < told["dressed"] == stamp.job.die.dressing
    page = (tmp_path / "ticket.html").read_text(encoding="utf-8")
    assert f"about {pressing.whole_at:.0f} N print all of the face (98\N{NO-BREAK SPACE}%)" in page
    assert told["hand"]["source"] in page


def test_an_ordinary_stamp_is_not_troubled_by_the_press(stamp: Stamp, tmp_path: Path) -> None:
    assert write_folder(tmp_path, stamp).stamp.findings == stamp.findings


@pytest.mark.parametrize(
    ("figures", "kind"),
    [
        ({"press.dressing_done": 0.0, "press.bow": 0.4}, "missing"),
        ({"press.off_centre_x": 40.0}, "press not computed"),
        ({"press.force": 5000.0, "press.pressure": 100.0}, "relief crushed"),
    ],
)
def test_a_bad_press_is_told_but_keeps_no_stamp_from_being_made(
    figures: dict[str, float], kind: str, stamp: Stamp, tmp_path: Path
) -> None:
    job = stamp.job.with_values(figures)
    written = write_folder(tmp_path, replace(stamp, job=job))
    found = [finding for finding in written.stamp.findings if finding.stage == "impression"]
    assert kind in {finding.kind for finding in found}
    assert {finding.severity for finding in found} == {"warns"}
    assert (written.report["pressing"] is None) == (kind == "press not computed")
