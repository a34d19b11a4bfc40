"""Likeness judged on real artwork: icons of the twemoji set (CC-BY 4.0), whose parts run into each other by a hair."""

from stampwright.artwork import read_artwork
from stampwright.errors import ArtworkError
from stampwright.job import Job
from stampwright.workshop import make_stamp

ICONS = "@twemoji/svg"

HURTS = ("1f1e7-1f1f4",)
"""Icons whose repaired parts cross each other by less than a picometre, so that overlays of them fail."""


def art_of(file):
    """Return the artwork in a file; None where it is drawn in light colours alone."""
    try:
        return read_artwork(file)
    except ArtworkError:
        return None


def test_every_icon_is_judged_after_repair(icon_files, sweep):
    job = Job().with_values({"base.width": 40.0, "handle.form": "none", "preflight.repair": True})
    files = icon_files(ICONS)
    hurting = [file for file in files if file.stem in HURTS]
    assert len(hurting) == len(HURTS)
    judged = 0
    for file in (*hurting, *sweep(files[7::90], quick=1)):
        artwork = art_of(file)
        if artwork is None:
            continue
        stamp = make_stamp(job, artwork)
        assert stamp.judgement is not None or stamp.blocked, file.name
        judged += 1
    assert judged > len(hurting)
