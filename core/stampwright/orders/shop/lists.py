"""Lists as CSV: the whole order in rows, and what is to be picked from each bed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..beds.parts import PrinterBed
from ..making.record import in_short
from ..making.run import OrderMade
from ..tables.escaping import csv_of
from .rows import ShopRow

_SUMMARY = (
    "row", "name", "order", "customer", "words", "count", "rush", "state", "why", "findings", "likeness",
    "impression width mm", "impression height mm", "mass g", "printing min", "filament cost", "price", "price of all",
    "currency", "beds",
)  # fmt: skip

_PICKING = ("bed", "printer", "starts after min", "rush", "stamp", "part", "copy", "order", "customer", "words")

_LISTED = 6  # findings in one cell


def summary_csv(rows: Sequence[ShopRow]) -> bytes:
    """Return all rows of an order as CSV."""
    return csv_of(_SUMMARY, (_summed(row) for row in rows))


def _summed(row: ShopRow) -> tuple[str | int | float, ...]:
    made = row.state == "made"
    figures = (*row.size, row.mass, row.minutes, row.cost, row.price, row.price * row.count)
    told: tuple[str | float, ...] = tuple(round(figure, 2) for figure in figures) if made else ("",) * len(figures)
    return (
        row.row, row.name, row.order, row.customer, row.words, row.count, "yes" if row.rush else "", row.state, row.why,
        in_short(row.findings, _LISTED), row.likeness, *told, row.currency, " ".join(row.beds),
    )  # fmt: skip


def picking_csv(
    beds: Sequence[PrinterBed], names: Sequence[str], runs: Mapping[int, tuple[str, float]], made: Sequence[OrderMade]
) -> bytes:
    """Return what is on each bed, bed by bed in the order of printing; ``runs``: printer and start by bed's number."""
    orders = {each.order.name: each.order for each in made}
    order = sorted(range(len(beds)), key=lambda number: (runs[number][1], number))
    rows: list[tuple[str | int | float, ...]] = []
    for number in order:
        printer, start = runs[number]
        for part, _ in beds[number].parts:
            of = orders[part.stamp]
            rush = "yes" if part.rush else ""
            told = (part.stamp, part.part.name, part.copy, of.order, of.customer, of.words)
            rows.append((names[number], printer, round(start), rush, *told))
    return csv_of(_PICKING, rows)
