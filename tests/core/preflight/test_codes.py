"""Codes judged at their final size against printer and ink, however they came into the artwork."""

import pytest
from stampwright.artwork import Artwork, make_artwork
from stampwright.findings import Finding
from stampwright.job import Job
from stampwright.job.pieces import QrCode
from stampwright.workshop import examine_artwork

from ..stages import examined, laid_out


def about_codes(job: Job, artwork: Artwork) -> list[Finding]:
    return [finding for finding in examined(job, laid_out(job, artwork)) if finding.kind == "code too fine"]


@pytest.mark.parametrize(
    ("module", "spread", "severity"),
    [(0.3, 0.0, "blocks"), (0.7, 0.0, "warns"), (0.9, 0.25, "blocks"), (0.9, 0.1, None)],
)
def test_code_modules_are_checked_against_nozzle_and_spread(module, spread, severity):
    job = Job().with_values({"ink.spread": spread, "layout.size_by": "page"})
    findings = about_codes(job, make_artwork([QrCode(text="MOSSGATE", module=module)]))
    assert [finding.severity for finding in findings] == ([severity] if severity else [])


def test_codes_are_checked_at_their_final_size():
    artwork = make_artwork([QrCode(text="MOSSGATE", module=1.0)])
    job = Job().with_values({"layout.size_by": "width", "layout.width": 21 * 0.6})
    (finding,) = about_codes(job, artwork)
    assert finding.severity == "warns"
    assert finding.measured == pytest.approx(0.6)
    assert finding.place.bounds == pytest.approx([-14.5 * 0.6, -14.5 * 0.6, 14.5 * 0.6, 14.5 * 0.6])


def test_a_code_that_is_accepted_warns_where_it_would_block():
    job = Job().with_values({"layout.size_by": "page", "ink.spread": 0.25})
    artwork = make_artwork([QrCode(text="MOSSGATE", module=0.9)])
    for accepted, severity in (((), "blocks"), (("code too fine",), "warns")):
        findings = examine_artwork(job.with_value("preflight.accept", accepted), artwork)
        assert [found.severity for found in findings if found.kind == "code too fine"] == [severity]
