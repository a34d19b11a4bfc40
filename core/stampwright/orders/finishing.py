"""What follows when the stamps of an order are made: beds, who prints them when, and the papers of the shop."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from .beds.laying import BedLaid, lay_parts
from .beds.nesting import NESTS, can_nest
from .beds.parts import BedPart, PrinterBed, parts_to_lay
from .beds.writing import bed_3mf, bed_picture
from .making.one import SMALL
from .making.run import OrderMade
from .making.stores import STAMPS, Store
from .schedule.assigning import Schedule, assign, bed_minutes
from .schedule.chart import schedule_chart, summary
from .schedule.printers import Printer, printer_of
from .shop.contact import contact_sheet
from .shop.customers import JOINS, can_join, joined_pages
from .shop.lists import picking_csv, summary_csv
from .shop.rows import shop_rows
from .tables.rows import Fault

BEDS = "beds"
SHEET, SUMMARY, PICKING, PAGES, CHART = "contact.html", "summary.csv", "picking.csv", "customers.pdf", "schedule.svg"
"""The folder of the beds, and the papers of the shop."""


@dataclass(frozen=True)
class Finished:
    """Beds with their names, who prints them when, and what is to be told: lines for people."""

    laid: BedLaid
    names: tuple[str, ...]
    schedule: Schedule
    told: tuple[str, ...]


def finish_order(
    made: Sequence[OrderMade],
    faults: Sequence[Fault],
    store: Store,
    day: date,
    *,
    title: str,
    printers: Sequence[Printer] = (),
    nest: bool | None = None,
) -> Finished:
    """Lay all parts on beds, give these to printers, and write both and the papers of the shop.

    ``printers``: without any, the one that the jobs are for; ``nest``: as for :func:`lay_parts`. Raises
    :class:`~stampwright.errors.OutputError` when the order's place cannot be written.
    """
    printers = tuple(printers) or tuple({printer_of(each.order.job.printer): None for each in made})[:1]
    laid = lay_parts(parts_to_lay(made), printers, nest=nest)
    names = _names(laid.beds)
    minutes = [[bed_minutes(bed, printer) for printer in printers] for bed in laid.beds]
    first = [bed.rush for bed in laid.beds]
    schedule = assign(minutes, first)
    _write_beds(laid.beds, names, schedule, made, store)
    _write_if(store, CHART, schedule_chart(schedule, printers, names, first).encode() if laid.beds else None)
    runs = {run.bed: (printers[run.printer].name, run.start) for run in schedule.runs}
    _write_if(store, PICKING, picking_csv(laid.beds, names, runs, made) if laid.beds else None)
    told = [*told_of(made, laid), summary(schedule)] if laid.beds else told_of(made, laid)
    if nest is None and not can_nest() and laid.beds:
        told.append(f"parts stand in rows: nesting takes {NESTS}, which is not installed (stampwright[orders])")
    _write_if(store, PAGES, _pages(made, store, day))
    if not can_join():
        told.append(f"{PAGES} is left out: it takes {JOINS}, which is not installed (stampwright[orders])")
    on_beds: dict[str, list[str]] = defaultdict(list)
    for bed, name in zip(laid.beds, names, strict=True):
        for stamp in dict.fromkeys(part.stamp for part, _ in bed.parts):
            on_beds[stamp].append(name)
    rows = shop_rows(made, faults, on_beds)
    store.write(SUMMARY, summary_csv(rows))
    sheet = contact_sheet(title, told, rows, lambda name: store.read(f"{STAMPS}/{name}/{SMALL}"))
    store.write(SHEET, sheet.encode("utf-8", "replace"))
    return Finished(laid, names, schedule, tuple(told))


def _names(beds: Sequence[PrinterBed]) -> tuple[str, ...]:
    digits = max(2, len(str(len(beds))))
    return tuple(f"bed-{number:0{digits}d}-{bed.material}" for number, bed in enumerate(beds, start=1))


def _write_beds(
    beds: Sequence[PrinterBed], names: Sequence[str], schedule: Schedule, made: Sequence[OrderMade], store: Store
) -> None:
    """Write every bed, and take away those of a former run that are none any more."""
    words = {each.order.name: each.order.words for each in made}
    took = {run.bed: run.end - run.start for run in schedule.runs}

    def label(part: BedPart) -> str:
        return words[part.stamp]

    for number, (bed, name) in enumerate(zip(beds, names, strict=True)):
        store.write(f"{BEDS}/{name}.3mf", bed_3mf(bed, name, store))
        store.write(f"{BEDS}/{name}.svg", bed_picture(bed, name, took[number], label).encode())
    wanted = {f"{name}{ending}" for name in names for ending in (".3mf", ".svg")}
    for name in store.names(BEDS):
        if name.startswith("bed-") and name.endswith((".3mf", ".svg")) and name not in wanted:
            store.remove(f"{BEDS}/{name}")


def _write_if(store: Store, name: str, content: bytes | None) -> None:
    """Write a file, or take one of a former run away where there is none any more."""
    if content is None:
        store.remove(name)
    else:
        store.write(name, content)


def told_of(made: Sequence[OrderMade], laid: BedLaid) -> list[str]:
    """Return lines for people: how much there is on how many beds, and what is not as they may expect it."""
    stamps = sum(each.order.count for each in made if each.record.state == "made")
    parts = sum(len(bed.parts) for bed in laid.beds)
    counts = ((stamps, "stamp"), (parts, "part"), (len(laid.beds), "bed"))
    told = ["{}, {} on {}".format(*(f"{count} {what}{'' if count == 1 else 's'}" for count, what in counts))]
    told += sorted({f"{part.name} is on no bed: {why}" for part, why in laid.left_out})
    if laid.given_up:
        told.append(
            f"{laid.given_up} beds stand in rows, less close than they could be: nesting has taken as long as it may; "
            "split the order, or give it larger beds"
        )
    return told


def _pages(made: Sequence[OrderMade], store: Store, day: date) -> bytes | None:
    if not can_join():
        return None
    pages = (
        store.read(f"{STAMPS}/{each.order.name}/customer.pdf")
        for each in made
        if each.record.state == "made" and "customer.pdf" in each.record.files
    )
    return joined_pages((page for page in pages if page is not None), day)
