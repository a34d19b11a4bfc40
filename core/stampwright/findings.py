"""What examining artwork, a solid or an impression turned up: where, what, how bad, and what would mend it."""

from __future__ import annotations

from collections import Counter
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
    ``measured`` and ``limit`` are in ``unit``. ``rest_of``: of which severity those are that a note counts in place of
    a list of them; its ``measured`` says how many there are in all, with those that are listed.
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
    rest_of: Severity | None = None

    def moved(self, matrix: Sequence[float]) -> Finding:
        """Return the finding with its place taken through ``matrix`` (shapely's six-number affine form)."""
        if self.place is None:
            return self
        return replace(self, place=affinity.affine_transform(self.place, list(matrix)))

    def weakened(self) -> Finding:
        """Return the finding as it is where its kind is accepted: what blocks warns."""
        if self.rest_of == "blocks" and self.measured and self.limit:
            return note_on_rest(self.kind, "warns", self.stage, int(self.measured), int(self.limit))
        return replace(self, severity="warns") if self.severity == "blocks" else self

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
    """Return the findings in groups that are alike in kind and severity, the gravest group first, order kept within.

    Notes that count the rest of a list are groups of their own, one for each severity that they count.
    """
    groups: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in by_severity(findings):
        groups.setdefault((finding.severity, finding.kind, finding.rest_of or ""), []).append(finding)
    return tuple(map(tuple, groups.values()))


def note_on_rest(kind: str, severity: Severity, stage: Stage, count: int, listed: int) -> Finding:
    """Return the note that counts findings of a kind, ``count`` in all, of which only so many are listed."""
    more = count - listed
    return Finding(
        kind=kind,
        severity="notes",
        stage=stage,
        message=f"{more} more of this kind {severity if more == 1 else severity[:-1]}; the {listed} worst are listed",
        measured=float(count),
        limit=float(listed),
        unit="",
        rest_of=severity,
    )


def counted(findings: Iterable[Finding], severity: Severity) -> dict[str, int]:
    """Return how many findings of a severity there are of each kind, the commonest first, with those only counted.

    >>> thin = Finding(kind="thin line", severity="blocks", stage="preflight", message="")
    >>> counted([*40 * [thin], note_on_rest("thin line", "blocks", "preflight", 95, 40)], "blocks")
    {'thin line': 95}
    """
    counts: Counter[str] = Counter()
    for finding in findings:
        if finding.severity == severity:
            counts[finding.kind] += 1
        elif finding.rest_of == severity and finding.measured and finding.limit:
            counts[finding.kind] += int(finding.measured - finding.limit)
    return dict(counts.most_common())


def total(findings: Iterable[Finding], severity: Severity) -> int:
    """Return how many findings of a severity there are, with those only counted."""
    return sum(counted(findings, severity).values())


def blocking(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return only the findings that keep a stamp from being made."""
    return tuple(finding for finding in findings if finding.severity == "blocks")
