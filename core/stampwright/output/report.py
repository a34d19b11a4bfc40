"""The report: everything that was found and measured, as plain data for machines."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

import shapely

from ..curved import Bend
from ..face import SurfaceProof, TexturedFace
from ..findings import SEVERITIES
from ..job import Job
from ..job.sections.face import FaceSection
from ..likeness import Likeness
from ..press import WHOLE, Comparison, PressFigures
from ..solids.soundness import Soundness
from ..stamp import Stamp
from .ticket.known import figures_behind

REPORT_FORMAT = 1
"""Raised when an entry changes its meaning."""


def report(
    stamp: Stamp,
    *,
    soundness: Mapping[str, Mapping[str, Soundness]] | None = None,
    comparison: Comparison | None = None,
    built: Likeness | None = None,
    surface: SurfaceProof | None = None,
    timings: Mapping[str, float] | None = None,
    version: str = "",
) -> dict[str, Any]:
    """Return the report on a stamp as nested plain data; lengths in mm, areas in mm², volumes in mm³, masses in g.

    ``soundness`` holds, by file and part, what was found in the files when they were read back, ``comparison`` how the
    outlines of the written die compare with what was built, ``built`` the same part by part, and ``surface`` how a
    textured face does with its maps; they are left out of the report of a stamp that was not written, as is its
    pressing (N, mm). ``timings``: seconds by stage.
    """
    left, bottom, right, top = stamp.layout.base.bounds
    return {
        "format": REPORT_FORMAT,
        "program": "Stampwright",
        "version": version,
        "name": stamp.job.name,
        "blocked": bool(stamp.blocked),
        "counts": {each: sum(finding.severity == each for finding in stamp.findings) for each in SEVERITIES},
        "findings": [finding.as_record() for finding in stamp.findings],
        "artwork": {
            "file": None if stamp.sources.file is None else stamp.sources.file.own_name,
            "sha256": None if stamp.sources.file is None else stamp.sources.file.sha256,
            "scale": stamp.layout.scale,
            "sized": stamp.layout.sized,
            "points": int(shapely.get_num_coordinates(stamp.inked)),
            "bounds": _rounded(stamp.inked.bounds),
            "area": stamp.inked.area,
            "cover": stamp.inked.area / stamp.layout.base.area,
        },
        "base": {"width": right - left, "height": top - bottom, "area": stamp.layout.base.area},
        "repair": None
        if stamp.repair is None
        else {"added": stamp.repair.added.area, "removed": stamp.repair.removed.area},
        "parts": {name: asdict(measured) for name, measured in stamp.measures.items()},
        "files": {
            file: {part: {**asdict(found), "sound": found.sound} for part, found in parts.items()}
            for file, parts in (soundness or {}).items()
        },
        "impression": {
            "area": stamp.impression.outlines.area,
            "spread": stamp.job.ink.spread,
            "dpi": stamp.impression.dpi,
            "pixels": list(reversed(stamp.impression.picture.shape)),
            "corner": _rounded(stamp.impression.corner),
        },
        **({} if stamp.bend is None else {"bend": _bent(stamp.job, stamp.bend)}),
        "face": None if stamp.face is None else _face(stamp.job.face, stamp.face, surface),
        "pressing": None if stamp.pressing is None else _pressing(stamp.pressing),
        "likeness": {
            "given": None if stamp.judgement is None else stamp.judgement.as_record(),
            "built": None if built is None else built.as_record(),
        },
        "figures": [figure.as_record() for figure in figures_behind(stamp.job)],
        "proof": None if comparison is None else asdict(comparison),
        "seconds": {stage: round(seconds, 4) for stage, seconds in (timings or {}).items()},
    }


def _bent(job: Job, bend: Bend) -> dict[str, Any]:
    return {
        "form": job.bend.form,
        "radius": round(bend.radius, 4),
        "repeat": round(bend.repeat, 4),
        "turns": bend.turns,
        "seam": round(bend.seam, 4),
        "stands": job.bend.stands,
    }


def _face(asked: FaceSection, face: TexturedFace, surface: SurfaceProof | None) -> dict[str, Any]:
    figures = face.figures
    return {
        "texture": asked.texture,
        "sculpted": face.dense.sculpt is not None,
        "depth": face.dense.depth,
        "spacing": face.dense.spacing,
        **{name: round(value, 4) for name, value in asdict(figures).items()},
        "dressed_share": round(figures.dressed_share, 4),
        "proof": None if surface is None else asdict(surface),
    }


def _pressing(figures: PressFigures) -> dict[str, Any]:
    whole_at, needed = figures.whole_at, figures.needed
    return {
        "force": round(figures.force, 2),
        "printed_share": round(figures.printed_share, 4),
        "whole_share": WHOLE,
        "whole_at": None if whole_at is None else round(whole_at, 2),
        "whole_between": [None if force is None else round(force, 2) for force in figures.whole_between],
        "hand": asdict(figures.hand),
        "dressed": round(figures.dressed, 4),
        "dressing_needed": None if needed is None else round(needed, 2),
        "off_centre": None if figures.off_centre is None else asdict(figures.off_centre),
        **({"rolled": _rolled(figures)} if figures.width else {}),
    }


def _rolled(figures: PressFigures) -> dict[str, Any]:
    """Return what is told of a curved face besides; flat ones have no such entry."""
    per_width = figures.per_width
    return {
        "band": round(figures.band, 2),
        "width": round(figures.width, 2),
        "whole_at_per_mm": None if per_width is None else round(per_width, 4),
        "assumed": "speed does not matter",
    }


def _rounded(numbers: tuple[float, ...]) -> list[float]:
    return [round(number, 4) for number in numbers]
