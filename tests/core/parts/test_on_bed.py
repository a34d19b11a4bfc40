"""Every printed part is held against the printer, and hard parts are printed by a process of their own."""

from __future__ import annotations

import zipfile
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, box
from stampwright.artwork import Artwork
from stampwright.errors import JobError
from stampwright.files import read_3mf
from stampwright.findings import Finding
from stampwright.job import Job
from stampwright.job.written.files import job_from_toml
from stampwright.layout import ASKEW, OFF_BED
from stampwright.output import write_folder
from stampwright.parts import snap_heights
from stampwright.workshop import examine_artwork, make_stamp

NAMESPACE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"

ART = Artwork(inked=MultiPolygon([box(2, 2, 8, 20).union(box(2, 14, 20, 20))]), page_size=(22.0, 22.0), name="angle")


def standing(path: Path) -> dict[str, np.ndarray]:
    """Return for each part of a 3MF file its points (n, 3), mm, as its transform stands them on the bed."""
    with zipfile.ZipFile(path) as archive:
        model = ElementTree.fromstring(archive.read("3D/3dmodel.model"))
    held = {}
    for item in model.iter(f"{NAMESPACE}item"):
        part = next(each for each in model.iter(f"{NAMESPACE}object") if each.get("id") == item.get("objectid"))
        corners = part.iter(f"{NAMESPACE}vertex")
        points = np.array([[float(corner.get(axis) or 0) for axis in "xyz"] for corner in corners])
        matrix = np.array((item.get("transform") or "").split(), dtype=float).reshape(4, 3)
        held[str(part.get("name"))] = points @ matrix[:3] + matrix[3]
    return held


def off_bed(changes: dict[str, object], kind: str = OFF_BED) -> list[Finding]:
    job = Job().with_values({"layout.size_by": "page", "handle.index": "none"} | changes)
    return [finding for finding in make_stamp(job, ART).findings if finding.kind == kind]


def test_backing_and_handle_wider_than_the_bed_block_and_are_named() -> None:
    found = off_bed({"base.width": 220.0})
    assert [finding.severity for finding in found] == ["blocks", "blocks"]
    assert [finding.message.split()[1] for finding in found] == ["backing", "handle"]
    assert "224.4 x 224.4 mm" in found[0].message
    assert found[0].limit == pytest.approx(220.0, abs=0.1)
    assert "98 % of it, would fit" in found[0].message


def test_a_handle_higher_than_the_printer_blocks() -> None:
    (found,) = off_bed({"handle.height": 200.0, "printer.bed_height": 50.0})
    assert (found.severity, found.measured, found.limit) == ("blocks", 200.0, 50.0)
    assert "handle" in found.message


def test_a_profile_in_another_unit_blocks() -> None:
    # 280 mm across and 240 mm high: within what a handle may be, and larger than the bed.
    (found,) = off_bed({"handle.form": "turned", "handle.profile": ((140, 0), (120, 100), (140, 240))})
    assert "280.0" in found.message
    assert "handle" in found.message


def test_the_base_is_said_once_of_the_die_and_before_anything_is_built() -> None:
    changes = {"base.width": 250.0, "handle.form": "none", "backing.form": "none"}
    (found,) = off_bed(changes)
    assert found.message.startswith("The die")
    (early,) = [each for each in examine_artwork(Job().with_values(changes), ART) if each.kind == OFF_BED]
    assert early.message.startswith("The base")


def test_a_brim_counts() -> None:
    small = {"base.width": 200.0, "printer.brim": 7.0}
    assert not off_bed(small)
    assert [each.message.split()[1] for each in off_bed(small | {"printer.brim": 8.0})] == ["backing", "handle"]


def test_a_long_part_is_turned_askew_rather_than_refused(tmp_path: Path) -> None:
    changes = {"base.outline": "rectangle", "base.width": 250.0, "base.height": 30.0, "handle.form": "none"}
    assert not off_bed(changes)
    assert len(off_bed(changes, ASKEW)) == 2
    job = Job().with_values({"layout.size_by": "page", "handle.index": "none"} | changes)
    write_folder(tmp_path, make_stamp(job, ART))
    for name in ("tpu-95a.3mf", "pla.3mf"):
        for points in standing(tmp_path / name).values():
            assert (points >= -1e-4).all()
            assert (points[:, :2] <= 220.0 + 1e-4).all()
        (part, *_) = read_3mf(tmp_path / name)
        assert part.volume > 0


def test_each_material_has_a_file_that_stays_within_the_bed(tmp_path: Path) -> None:
    changes = {"base.outline": "rectangle", "base.width": 210.0, "base.height": 90.0, "layout.size_by": "page"}
    stamp = make_stamp(Job().with_values(changes), ART)
    assert [each.severity for each in stamp.findings if each.kind == "more than one bed"] == ["notes"]
    written = write_folder(tmp_path, stamp)
    plates = [name for name in written.files if name.endswith(".3mf")]
    held = {name: standing(tmp_path / name) for name in plates}
    assert {name: list(parts) for name, parts in held.items()} == {
        "stamp.3mf": ["die", "backing", "handle"],
        "tpu-95a.3mf": ["die"],
        "pla.3mf": ["backing", "handle"],
    }
    for name, parts in held.items():
        beds = 2 if name == "stamp.3mf" else 1
        for points in parts.values():
            assert (points >= -1e-6).all()
            assert (points[:, :2] <= (beds * 220.0 + (beds - 1) * 20.0, 220.0)).all()


def test_hard_parts_have_a_process_of_their_own() -> None:
    job = Job().with_values({"layout.size_by": "page", "printer.nozzle": 0.25, "printer.layer": 0.1})
    fine = make_stamp(job, ART)
    mixed = make_stamp(job.with_values({"printer.hard_nozzle": 0.4, "printer.hard_layer": 0.2}), ART)
    assert mixed.measures["die"] == fine.measures["die"]
    assert mixed.measures["handle"].minutes < 0.5 * fine.measures["handle"].minutes
    assert (fine.measures["handle"].layers, mixed.measures["handle"].layers) == (450, 225)
    # The printer's lines, as preflight goes by them, are the die's.
    thin = Artwork(inked=MultiPolygon([box(2, 2, 2.3, 20)]), page_size=(22.0, 22.0))
    assert "thin line" not in {each.kind for each in make_stamp(mixed.job, thin).blocked}


def test_heights_are_whole_layers_of_each_parts_own() -> None:
    job = Job().with_values({"printer.layer": 0.1, "printer.hard_layer": 0.3, "die.relief": 1.9})
    heights = snap_heights(job)
    assert (heights.relief, heights.backing) == (1.9, 3.9)
    assert {finding.message.split()[0] for finding in heights.findings} >= {"backing.thickness", "backing.seat_depth"}
    assert all("0.3 mm" in finding.message for finding in heights.findings)
    assert snap_heights(job.with_value("backing.form", "one-piece")).backing == 4.0


def test_jobs_from_before_read_as_one_process_for_all() -> None:
    job = job_from_toml("[process]\nnozzle = 0.6\nlayer = 0.3\n")
    assert (job.printer.hard.nozzle, job.printer.hard.layer, job.printer.hard.line_width) == (0.6, 0.3, 0.6)


def test_a_process_that_cannot_be_is_refused() -> None:
    with pytest.raises(JobError, match=r"hard_layer = 0\.01 .* 0\.04 to 1, or 0"):
        Job().with_value("printer.hard_layer", 0.01)
