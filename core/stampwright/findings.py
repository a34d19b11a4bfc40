"""What examining artwork, a solid or an impression turned up: where, what, how bad, and what would mend it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from shapely import affinity
from shapely.geometry.base import BaseGeometry

Severity = Literal["blocks", "warns", "notes"]
Stage = Literal["artwork", "layout", "preflight", "build", "impression"]

SEVERITIES: tuple[Severity, ...] = ("blocks", "warns", "notes")


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One thing that was found.

    ``kind`` is a short lower-case phrase that stays the same for all findings of its sort ("thin line");
    ``message`` one sentence with the figures; ``remedy`` one sentence that says what would mend it.
    ``place`` is a small region in the paper frame, mm, or None when the finding concerns the whole;
    ``measured`` and ``limit`` are in ``unit``.
    """

    kind: str
    severity: Severity
    stage: Stage
    message: str
    remedy: str = ""
    place: BaseGeometry | None = None
    measured: float | None = None
    limit: float | None = None
    unit: str = "mm"

    def moved(self, matrix: Sequence[float]) -> Finding:
        """Return the finding with its place taken through ``matrix`` (shapely's six-number affine form)."""
        if self.place is None:
            return self
        return replace(self, place=affinity.affine_transform(self.place, list(matrix)))

    def as_record(self) -> dict[str, Any]:
        """Return plain data for a report: place as [x, y] of its middle and [left, bottom, right, top], mm."""
        record: dict[str, Any] = {
            "kind": self.kind,
            "severity": self.severity,
            "stage": self.stage,
            "message": self.message,
            "remedy": self.remedy,
            "measured": self.measured,
            "limit": self.limit,
            "unit": self.unit,
            "at": None,
            "bounds": None,
        }
        if self.place is not None and not self.place.is_empty:
            left, bottom, right, top = (round(value, 4) for value in self.place.bounds)
            record["at"] = [round((left + right) / 2, 4), round((bottom + top) / 2, 4)]
            record["bounds"] = [left, bottom, right, top]
        return record


def by_severity(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings with the gravest first; the order among equals is kept."""
    return tuple(sorted(findings, key=lambda finding: SEVERITIES.index(finding.severity)))


def with_name(name: str, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings with the name of what they are of, such as one of several inks, before what they say."""
    return tuple(replace(finding, message=f"{name}: {finding.message}") for finding in findings)


def gathered(findings: Iterable[Finding]) -> tuple[tuple[Finding, ...], ...]:
    """Return the findings in groups that are alike in kind and severity, the gravest group first, order kept within."""
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in by_severity(findings):
        groups.setdefault((finding.severity, finding.kind), []).append(finding)
    return tuple(map(tuple, groups.values()))


def blocking(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return only the findings that keep a stamp from being made."""
    return tuple(finding for finding in findings if finding.severity == "blocks")
