"""The report of a set as plain data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..inks import Miss, Trap
from ..inks.misregister import THROWS
from ..inks.separating import density_of
from ..job.inks import folder_of, inks_as_data
from .making import InkSet


def set_report(made: InkSet, *, stamps: Mapping[str, Any] | None = None, version: str = "") -> dict[str, Any]:
    """Return all that was found and measured of a set; ``stamps``: their own reports by ink, where there are some."""
    return {
        "program": version,
        "name": made.job.name,
        "blocked": bool(made.blocked),
        "size": made.layout.sized,
        "inks": _inks(made),
        "traps": [_trap(trap) for trap in made.trapped.traps],
        "rule": "the ink of lower neutral density runs under the other",
        "play": {
            "likely": made.play.likely,
            "worst": made.play.worst,
            "shift": made.play.shift,
            "turn": made.play.turn,
            "source": made.play.source,
        },
        "perfect_register": _missed(made.misregister.perfect),
        "worst_register": {"throws": THROWS, **_missed(made.misregister.worst)},
        "gauge": None
        if made.gauge is None
        else {"height": made.gauge.height, "sheet_corner": list(made.gauge.corner), "volume": made.gauge.solid.volume},
        "findings": [finding.as_record() for finding in made.all_findings],
        "stamps": dict(stamps or {}),
    }


def _inks(made: InkSet) -> list[dict[str, Any]]:
    by_name = {separation.ink.name: at for at, separation in enumerate(made.separations)}
    inks = []
    for table, ink in zip(inks_as_data(made.job.inks), made.job.inks, strict=True):
        stamp = made.stamps[by_name[ink.name]]
        inks.append(
            {
                **table,
                "printed_as": by_name[ink.name] + 1,
                "density": density_of(ink),
                "folder": folder_of(ink.name),
                "area": float(stamp.impression.outlines.area),
                "points": sum(
                    len(ring.coords) for part in stamp.inked.geoms for ring in (part.exterior, *part.interiors)
                ),
                "die_volume": float(stamp.die.volume),
            }
        )
    return inks


def _trap(trap: Trap) -> dict[str, Any]:
    return {
        "lighter": trap.lighter,
        "darker": trap.darker,
        "densities": list(trap.densities),
        "width": trap.width,
        "area": float(trap.region.area),
    }


def _missed(miss: Miss) -> dict[str, Any]:
    return {
        "gap_area": miss.gap_area,
        "gap_width": miss.gap_width,
        "overlap_area": miss.overlap,
        "places": [[float(value) for value in place] for place in miss.places],
    }
