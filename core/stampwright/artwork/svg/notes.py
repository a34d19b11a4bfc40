"""Findings gathered while a drawing is read: one for each sort of thing, naming the elements concerned."""

from __future__ import annotations

from dataclasses import dataclass, field

from ...findings import Finding, Severity
from .source.document import Element

MOST_NAMED = 3
"""Elements named in one finding; the rest are counted."""


@dataclass
class _Entry:
    severity: Severity
    message: str
    remedy: str
    elements: dict[int, Element] = field(default_factory=dict)


class Notes:
    """Gathers what the reader could not take over, and turns it into findings."""

    def __init__(self) -> None:
        self._entries: dict[tuple[str, str], _Entry] = {}
        self.findings: list[Finding] = []
        """Those that have a place, and are told each by itself."""

    def add(
        self, kind: str, message: str, element: Element | None = None, *, remedy: str = "", severity: Severity = "warns"
    ) -> None:
        """Note that ``message`` holds for ``element``; the same kind and message are told once, with all elements."""
        entry = self._entries.setdefault((kind, message), _Entry(severity, message, remedy))
        if element is not None:
            entry.elements[id(element)] = element

    def as_findings(self) -> tuple[Finding, ...]:
        """Return one finding for each kind and message, in the order they came up."""
        findings = list(self.findings)
        for (kind, _), entry in self._entries.items():
            named = ", ".join(element.described() for element in list(entry.elements.values())[:MOST_NAMED])
            more = len(entry.elements) - MOST_NAMED
            if more > 0:
                named += f" and {more} more"
            findings.append(
                Finding(
                    kind=kind,
                    severity=entry.severity,
                    stage="artwork",
                    message=f"{entry.message}: {named}" if named else entry.message,
                    remedy=entry.remedy,
                )
            )
        return tuple(findings)
