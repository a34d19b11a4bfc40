"""What an impression has of the art as given, as data."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from .tones import ToneLikeness


@dataclass(frozen=True, kw_only=True)
class Change:
    """One thing that reads otherwise in print than in the art.

    ``place``: a small region, mm, paper frame. ``area``: ink added or lost there, mm². ``length`` and ``width``: of
    the gap, bridge, breach or stroke that it is about, mm. ``share``: how much of its part it concerns, 0 to 1; what
    of the part is said with each kind in :mod:`~stampwright.job.kinds` and where it is measured. ``size``: of the
    smallest part that it concerns, across, mm. ``laid``: False where the reason is that no printer lays so narrow a
    part: examining the artwork tells that.
    """

    kind: str
    place: BaseGeometry = field(default_factory=Polygon)
    area: float = 0.0
    length: float = 0.0
    width: float = 0.0
    share: float = 0.0
    size: float = 0.0
    laid: bool = True

    @property
    def at(self) -> Point:
        """A point in the place."""
        return self.place.representative_point()

    def as_record(self) -> dict[str, Any]:
        """Return plain data for a report; mm and mm²."""
        left, bottom, right, top = self.place.bounds
        return {
            "kind": self.kind,
            "at": [round((left + right) / 2, 3), round((bottom + top) / 2, 3)],
            "bounds": [round(edge, 3) for edge in (left, bottom, right, top)],
            **{name: round(getattr(self, name), 4) for name in ("area", "length", "width", "share", "size")},
        }


@dataclass(frozen=True, kw_only=True)
class Likeness:
    """How far what was printed is what was given.

    Areas in mm²: ``added`` ink is in print only, ``lost`` ink in the art only. ``parts`` and ``counters``: how many
    there are in the art and in print. Parts are connected regions of ink, counters regions of paper that ink
    encloses; their numbers are exact, also for those too small to see. ``changes``: what an eye sees of it; of screened
    art, where dots that meet are tone, there is ``tone`` instead.
    """

    given_area: float
    printed_area: float
    added: float
    lost: float
    parts: tuple[int, int]
    counters: tuple[int, int]
    changes: tuple[Change, ...] = ()
    tone: ToneLikeness | None = None

    @property
    def iou(self) -> float:
        """Intersection over union; nothing against nothing is alike."""
        either = self.given_area + self.added
        return (self.given_area - self.lost) / either if either > 0 else 1.0

    @property
    def printed_share(self) -> float:
        """Share of the given ink that prints, 0 to 1."""
        return 1.0 - self.lost / self.given_area if self.given_area > 0 else 1.0

    @property
    def added_share(self) -> float:
        """Ink added as a share of the given ink."""
        return self.added / self.given_area if self.given_area > 0 else 0.0

    def as_record(self) -> dict[str, Any]:
        """Return plain data for a report; lengths in mm, areas in mm²; numbers of parts and counters in both."""
        return {
            "iou": round(self.iou, 6),
            "given_area": round(self.given_area, 4),
            "printed_area": round(self.printed_area, 4),
            "added": round(self.added, 4),
            "added_share": round(self.added_share, 6),
            "lost": round(self.lost, 4),
            "lost_share": round(1.0 - self.printed_share, 6),
            "parts": {"given": self.parts[0], "printed": self.parts[1]},
            "counters": {"given": self.counters[0], "printed": self.counters[1]},
            "judged_by": "parts and counters" if self.tone is None else "tone",
            "tone": None if self.tone is None else asdict(self.tone),
            "changes": [change.as_record() for change in self.changes],
        }
