"""A way to make artwork pass: the settings to set, and what comes of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, overload

from ..examination import Examination
from ..looks.numbers import percent, spoken


@dataclass(frozen=True, eq=False)
class Way:
    """One way to make artwork pass.

    ``what``: in a few words. ``settings``: values by ``section.setting``, to set together. ``examination``: the artwork
    examined with these settings: nothing in it blocks.
    """

    what: str
    settings: Mapping[str, Any]
    examination: Examination

    @property
    def warnings(self) -> int:
        """How many findings still warn."""
        return sum(finding.severity == "warns" for finding in self.examination.findings)

    def in_words(self) -> str:
        """Say what to do and what comes of it, in one sentence without an end stop."""
        alike = percent(self.examination.judgement.likeness.iou)
        left = "nothing warns" if not self.warnings else f"{self.warnings} warn" + ("s" if self.warnings == 1 else "")
        return f"{self.what}: {left}, the print is {alike} the artwork as given"

    def as_typed(self) -> str:
        """Return the settings as they are typed on a command line."""
        told = dict(self.settings)
        repair = told.pop("preflight.repair", None)
        words = ["--repair"] if repair else []
        if told.get("preflight.repair_by") == "outlines":
            del told["preflight.repair_by"]
        words += [f"--set {name}={_typed(value)}" for name, value in told.items() if not isinstance(value, list)]
        if any(isinstance(value, list) for value in told.values()):
            words.append("(with the base's points moved outwards alike)")
        if repair is False:
            words.append("(without --repair)")
        return " ".join(words)

    def as_record(self) -> dict[str, Any]:
        """Return plain data for a report."""
        likeness = self.examination.judgement.likeness
        return {
            "what": self.what,
            "settings": dict(self.settings),
            "warnings": self.warnings,
            "likeness": round(likeness.iou, 6),
        }


@dataclass(frozen=True, eq=False)
class Ways(Sequence[Way]):
    """The ways that were found, those that change least first.

    ``missed``: what was not looked for to the end, as the search ended at the work that it may take. ``in_vain``: how
    far was gone where nothing was found, each in a few words.
    """

    found: tuple[Way, ...] = ()
    missed: tuple[str, ...] = ()
    in_vain: tuple[str, ...] = ()

    @property
    def cut_short(self) -> bool:
        """Whether the search ended before all was tried that could be."""
        return bool(self.missed)

    @overload
    def __getitem__(self, at: int) -> Way: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Way, ...]: ...
    def __getitem__(self, at: int | slice) -> Way | tuple[Way, ...]:
        return self.found[at]

    def __len__(self) -> int:
        return len(self.found)

    def __iter__(self) -> Iterator[Way]:
        return iter(self.found)

    @property
    def heading(self) -> str:
        """What the ways are, in a few words."""
        return "What would make it pass, each tried" if self.found else "No setting was found that makes it pass"

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is to be said besides: how far was gone in vain, and that the search ended early."""
        if not self.missed:
            return self.in_vain
        missed = ", ".join(self.missed)
        return (
            *self.in_vain,
            f"the search ended at the work that it may take. Not looked for to the end: {missed}",
        )

    def in_words(self) -> str:
        """Say above the ways what they are, in one sentence without an end stop."""
        return "; ".join((self.heading, *self.remarks))


def _typed(value: Any) -> str:
    return spoken(value) if isinstance(value, float) else str(value)
