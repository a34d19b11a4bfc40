"""Repair held to its promise on real artwork: icons of the bootstrap-icons package (MIT), at two sizes."""

from collections import Counter
from dataclasses import replace

import pytest
from stampwright.artwork import read_artwork
from stampwright.job import Job
from stampwright.preflight import FLOODING_COUNTER, NARROW_GAP, SPECK, SPIKE, THIN_LINE

from ..core.stages import examined, laid_out, repaired

ALWAYS_MENDED = {
    ("blocks", THIN_LINE),
    ("warns", SPIKE),
    ("warns", NARROW_GAP),
    ("warns", FLOODING_COUNTER),
    ("blocks", SPECK),
    ("warns", SPECK),
}


@pytest.mark.parametrize(("width", "first"), [(30.0, 0), (16.0, 10)])
def test_repaired_icons_have_nothing_left_to_mend(icon_files, width, first):
    job = Job().with_value("base.width", width)
    before, after = Counter(), {}
    for file in icon_files("bootstrap-icons")[first::40]:
        layout = laid_out(job, read_artwork(file))
        before.update((finding.severity, finding.kind) for finding in examined(job, layout))
        mended = replace(layout, inked=repaired(job, layout).inked)
        assert mended.inked.is_valid, file.name
        left = {(finding.severity, finding.kind) for finding in examined(job, mended)} & ALWAYS_MENDED
        if left:
            after[file.name] = left
    assert after == {}
    # The icons do have what is to be mended.
    assert sum(before[kind] for kind in ALWAYS_MENDED) > 10
