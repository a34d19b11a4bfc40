"""Repair held to its promise on real artwork: icons of the bootstrap-icons package (MIT), at two sizes."""

from collections import Counter
from dataclasses import replace

import pytest
import shapely
from stampwright.artwork import read_artwork
from stampwright.job import Job
from stampwright.preflight import FLOODING_COUNTER, NARROW_GAP, NO_ROOM, SPECK, SPIKE, THIN_LINE

from ..core.stages import examined, laid_out, repaired

ALWAYS_MENDED = {
    ("blocks", THIN_LINE),
    ("warns", SPIKE),
    ("warns", NARROW_GAP),
    ("warns", FLOODING_COUNTER),
    ("blocks", SPECK),
    ("warns", SPECK),
}


def parts_and_counters(inked):
    # A ring that touches itself in a point is an outline or a hole, as it is written down.
    inked = shapely.set_precision(inked, 2.0**-16)
    return len(inked.geoms), sum(len(part.interiors) for part in inked.geoms)


@pytest.mark.parametrize(("width", "first"), [(30.0, 0), (16.0, 10)])
def test_repaired_icons_hang_together_as_before_and_have_no_line_left_that_is_not_laid(icon_files, width, first):
    job = Job().with_value("base.width", width)
    before, after, crowded = Counter(), {}, 0
    for file in icon_files("bootstrap-icons")[first::40]:
        layout = laid_out(job, read_artwork(file))
        before.update((finding.severity, finding.kind) for finding in examined(job, layout))
        result = repaired(job, layout)
        mended = replace(layout, inked=result.inked)
        assert mended.inked.is_valid, file.name
        assert parts_and_counters(mended.inked) == parts_and_counters(layout.inked), file.name
        left = Counter((finding.severity, finding.kind) for finding in examined(job, mended))
        told = any(finding.kind == NO_ROOM for finding in result.findings)
        crowded += told
        # Where it cannot be done, ink stays apart and that is said; nothing that blocks is left in silence.
        if left["blocks", THIN_LINE] and not told:
            after[file.name] = left
    assert after == {}
    assert crowded <= 2
    # The icons do have what is to be mended.
    assert sum(before[kind] for kind in ALWAYS_MENDED) > 10
