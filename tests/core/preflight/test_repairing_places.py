"""Findings mended one by one, at the places that a job names."""

from dataclasses import replace

import pytest
import shapely
from shapely.geometry import MultiPolygon, Point, box
from stampwright import Artwork, make_stamp
from stampwright.job import Job
from stampwright.job.written.files import job_as_toml, read_job
from stampwright.preflight import (
    FLOODING_COUNTER,
    NARROW_GAP,
    SPECK,
    SPIKE,
    THIN_LINE,
    spot_of,
)

from ..stages import examined, repaired
from .conftest import laid

MENDABLE = {THIN_LINE, SPIKE, NARROW_GAP, FLOODING_COUNTER, SPECK}


def mended(ink, job=None, **figures):
    job = (job or Job()).with_values({f"preflight.{name}": value for name, value in figures.items()})
    layout = laid(ink, job)
    return repaired(job, layout), examined(job, replace(layout, inked=repaired(job, layout).inked))


SEVERAL = shapely.union_all(
    [
        box(-10, 0, 10, 0.2),
        box(-10, 3, 10, 3.3),
        Point(0, 8).buffer(0.2),
        box(-9, -8, -5, -4),
        box(-4.9, -8, -1, -4),
        Point(6, -6).buffer(3).difference(Point(6, -6).buffer(0.1)),
    ]
)


def placed(findings):
    return [finding for finding in findings if finding.kind in MENDABLE and finding.place is not None]


@pytest.mark.parametrize("number", range(5))
def test_one_finding_is_mended_and_the_others_left(number):
    job, layout = Job().with_value("preflight.repair_to", "warns"), laid(SEVERAL)
    found = placed(examined(job, layout))
    assert len(found) == 5
    one = found[number]
    result = repaired(job, layout, [spot_of(one.place)])
    changed = shapely.union_all([result.added, result.removed])
    assert one.place.buffer(0.3).contains(changed)
    left = placed(examined(job, replace(layout, inked=result.inked)))
    told = sorted((finding.kind, round(finding.measured, 2)) for finding in found if finding is not one)
    assert sorted((finding.kind, round(finding.measured, 2)) for finding in left) == told


def test_findings_mended_one_by_one_are_all_mended():
    job, layout = Job().with_value("preflight.repair_to", "warns"), laid(SEVERAL)
    spots, inked = [], layout.inked
    while left := placed(examined(job, replace(layout, inked=inked))):
        assert len(spots) < 5
        spots.append(spot_of(left[0].place))
        inked = repaired(job, layout, spots).inked


def test_points_at_which_nothing_is_found_mend_nothing():
    layout = laid(SEVERAL)
    assert repaired(Job(), layout, [(20.0, 20.0), (0.0, 5.0)]).inked is layout.inked


def test_a_job_keeps_which_findings_are_mended(tmp_path):
    artwork = Artwork(inked=MultiPolygon([box(0, 0, 30, 10), box(0, 20, 30, 20.2)]), page_size=(30.0, 20.2))
    job = Job().with_values({"layout.size_by": "page", "base.width": 60.0, "preflight.repair_to": "warns"})
    (thin,) = placed(make_stamp(job, artwork).findings)
    path = tmp_path / "job.toml"
    path.write_text(job_as_toml(job.with_value("preflight.repair_at", (spot_of(thin.place),))))
    stamp = make_stamp(read_job(path), artwork)
    assert stamp.repair is not None
    assert not placed(stamp.findings)
    wider = job.with_values({"preflight.repair": True, "preflight.repair_at": ((50.0, 50.0),)})
    assert not placed(make_stamp(wider, artwork).findings)
