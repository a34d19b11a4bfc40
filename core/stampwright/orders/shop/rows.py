"""The rows of an order as the shop sees them, those that were bad from the start among them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from ..making.record import STATES, State
from ..making.run import OrderMade
from ..tables.rows import Fault
from .pricing import price_of

ShopState = State | Literal["bad row"]

SAID: dict[ShopState, str] = {
    "made": STATES["made"],
    "blocked": STATES["blocked"],
    "stopped": STATES["stopped"],
    "bad row": "not made: the table is wrong there",
}
"""How it ended with a row, and what that says."""


@dataclass(frozen=True)
class ShopRow:
    """One row.

    ``size``: of the impression, mm; ``mass``: g; ``minutes``: of printing; ``cost``: of filament, and ``price``, of one
    stamp, in ``currency``; ``beds``: the names of those that its parts are on.
    """

    row: int
    name: str
    order: str
    customer: str
    words: str
    count: int
    rush: bool
    state: ShopState
    why: str = ""
    findings: tuple[str, ...] = ()
    likeness: str = ""
    size: tuple[float, float] = (0.0, 0.0)
    mass: float = 0.0
    minutes: float = 0.0
    cost: float = 0.0
    price: float = 0.0
    currency: str = ""
    beds: tuple[str, ...] = ()


def shop_rows(made: Sequence[OrderMade], faults: Sequence[Fault], beds: dict[str, list[str]]) -> list[ShopRow]:
    """Return all rows in the order of the table; ``beds``: by stamp, the names of those that its parts are on."""
    rows = [_row(each, tuple(beds.get(each.order.name, ()))) for each in made]
    rows += [_bad_row(fault) for fault in faults]
    return sorted(rows, key=lambda row: row.row)


def _bad_row(fault: Fault) -> ShopRow:
    return ShopRow(fault.row, "", fault.order, fault.customer, "", 0, False, "bad row", str(fault))


def _row(each: OrderMade, beds: tuple[str, ...]) -> ShopRow:
    order, record = each.order, each.record
    made = record.state == "made"
    rule = order.job.price
    told = [f"{finding['severity']}: {finding['message']}" for finding in record.findings]
    return ShopRow(
        order.row, order.name, order.order, order.customer, order.words, order.count, order.rush, record.state,
        why="; ".join((record.why, *(f"it would pass so: {way}" for way in record.ways or ()))),
        findings=tuple(dict.fromkeys(told)),
        likeness=record.likeness,
        size=record.size,
        mass=record.mass,
        minutes=record.minutes,
        cost=record.cost,
        price=price_of(rule, record.cost, record.minutes) if made else 0.0,
        currency=rule.currency,
        beds=beds,
    )  # fmt: skip
