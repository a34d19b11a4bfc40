"""Which files of a stamp are wanted, where not all of them are."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from .sheets.forms import CUSTOMER


@dataclass(frozen=True)
class Wanted:
    """What a stamp's folder shall have beside its parts, proof, ticket, job and report.

    ``plates``: 3MF files; ``customer``: forms of the customer's page, by their names; ``push``: what pressing it takes;
    ``seconds``: how long each stage took, in the report, which differs from one run to the next; ``day``: that the
    papers bear, None for today's.
    """

    plates: bool = True
    customer: tuple[str, ...] = CUSTOMER
    push: bool = True
    seconds: bool = True
    day: date | None = None


ALL = Wanted()
