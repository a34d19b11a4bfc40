"""The commands for tables of orders: check one row by row, and make a stamp of each row."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..options import add_json
from ..terminal import BLOCKED, MADE, ProgressLine, complain, print_json

if TYPE_CHECKING:
    from datetime import date

    from ...orders.making.run import OrderMade
    from ...orders.tables.checking import Checked


def offer(commands: Any) -> None:
    """Add the commands to those of the program."""
    command = commands.add_parser(
        "orders",
        help="make a stamp for each row of a table",
        description="A table of orders, CSV or a line of JSON a row, fills the places of a template: a job file whose "
        "texts have names in braces, or one of those that come along.",
    )
    verbs = command.add_subparsers(title="what to do", metavar="VERB", required=True)
    _offer_make(verbs)
    _offer_check(verbs)


def _offer_make(verbs: Any) -> None:
    make = verbs.add_parser(
        "make",
        help="make the stamp of each row",
        description="Check every row, then make each stamp in a folder of its own, side by side, and prove it from its "
        "file. Run again after a change, or after whatever ended it: only what is not there yet is made.",
        epilog="Exit code 0: every row was made; 1: some were not (it says which); 2: the table cannot be read, or the "
        "folder not be written.",
    )
    add_table(make)
    make.add_argument("-o", "--out", metavar="DIR", required=True, help="folder of the order, or an address of fsspec")
    make.add_argument("--keep-going", action="store_true", help="make the good rows although others are bad")
    make.add_argument(
        "--whole",
        action="store_true",
        help="write every file of each stamp, the 3MF files and the push among them, not only what beds and shop need",
    )
    make.add_argument("--ways", action="store_true", help="look for what would make blocked stamps pass, too")
    make.add_argument("--printers", metavar="FILE", type=Path, help="printers, with beds and filaments (.toml)")
    make.add_argument("--rows", action="store_true", help="lay parts on beds in rows, not nested")
    make.add_argument("--workers", metavar="COUNT", type=_whole, default=0, help="processes; without it as many as fit")
    make.add_argument("--limit", metavar="SECONDS", type=_whole, default=120, help="time for one stamp (120)")
    make.add_argument("--memory", metavar="MB", type=_whole, default=2_000, help="memory for one stamp (2000)")
    make.add_argument(
        "--cluster",
        metavar="ADDRESS",
        default="",
        help="make them on a cluster of dask.distributed, such as tcp://192.0.2.1:8786, or on a local one for trial",
    )
    add_json(make, "what was made")
    make.set_defaults(run=run_make)


def _whole(typed: str) -> int:
    if not (typed.isascii() and typed.isdigit() and 1 <= int(typed[:9]) <= 1_000_000):
        raise argparse.ArgumentTypeError(f"{typed!r} is no whole number from 1 to 1,000,000")
    return int(typed[:9])


def _offer_check(verbs: Any) -> None:
    check = verbs.add_parser(
        "check",
        help="say what is wrong with the rows of a table",
        description="Read a table of orders and say in a line what is wrong with each bad row. Nothing is built.",
        epilog="Exit code 0: every row can be made; 1: some cannot; 2: the table cannot be read.",
    )
    add_table(check)
    add_json(check, "the faults")
    check.set_defaults(run=run_check)


def add_table(command: argparse.ArgumentParser) -> None:
    """Let a command take a table and what its columns fill."""
    command.add_argument(
        "table", metavar="ORDERS", type=Path, help="CSV (, ; or tabs) or JSON lines (.jsonl), in UTF-8"
    )
    command.add_argument(
        "--template",
        metavar="JOB",
        required=True,
        help="job file whose texts have places such as {name}, or the name of one that comes along (see: stampwright "
        "templates)",
    )
    command.add_argument(
        "--ignore", metavar="COLUMN", action="append", default=[], help="a column that is not for the stamps"
    )
    command.add_argument(
        "--set",
        metavar="NAME=VALUE",
        dest="settings",
        action="append",
        default=[],
        help="change one setting for all rows; what a column says comes first",
    )


def run_make(options: argparse.Namespace) -> int:
    """Make the stamps of a table, and say which were and which were not."""
    from ...orders.finishing import Finished, finish_order
    from ...orders.making.run import RunSetup, left_over, make_orders
    from ...orders.making.stores import open_store
    from ...orders.making.workers import WorkerLimits
    from ...orders.schedule.printers import read_printers

    printers = read_printers(options.printers) if options.printers else ()
    checked = checked_orders(options)
    tell_faults(checked)
    if checked.faults and not options.keep_going:
        bad = len(checked.faults)
        complain(
            f"nothing is made: {bad} bad row{'s' if bad > 1 else ''}; mend them, or make the others (--keep-going)"
        )
        return BLOCKED
    store = open_store(options.out)
    limits = WorkerLimits(options.limit, options.memory)
    setup = RunSetup(options.workers, limits, options.whole, options.ways, options.cluster)
    progress = ProgressLine(sys.stderr)
    finished: list[Finished] = []

    def finish(made: Sequence[OrderMade], day: date) -> None:
        progress.tell("beds and papers", 1.0)
        title, nest = f"Orders of {options.table.name}", False if options.rows else None
        finished.append(finish_order(made, checked.faults, store, day, title=title, printers=printers, nest=nest))

    try:
        made = make_orders(checked.orders, store, setup, told=progress.tell, after=finish)
    finally:
        progress.close()
    _tell_made(options, made, left_over(store, checked.orders), finished[0].told)
    return MADE if not checked.faults and all(each.record.state == "made" for each in made) else BLOCKED


def _tell_made(
    options: argparse.Namespace, made: Sequence[OrderMade], spare: Sequence[str], told: Sequence[str]
) -> None:
    """Say how it ended with each row that was not made, and how many were."""
    for each in made:
        if each.record.state != "made":
            complain(f"row {each.order.row}, {each.order.name}: {each.record.state}: {each.record.why}")
            for way in each.record.ways or ():
                complain(f"row {each.order.row} would pass so: {way}")
    if options.json:
        print_json([{"row": each.order.row, "name": each.order.name, "state": each.record.state} for each in made])
        return
    states = [each.record.state for each in made]
    anew = sum(each.anew and each.record.state == "made" for each in made)
    counted = [f"{states.count('made')} of {len(made)} stamps made, {anew} of them now"]
    counted += [f"{states.count(state)} {state}" for state in ("blocked", "stopped") if state in states]
    print(f"{'; '.join(counted)}. They are in {options.out}")
    for line in told:
        print(f"  {line}")
    if spare:
        print(f"{len(spare)} folders are of no row of this table any more: {', '.join(spare[:3])}")


def run_check(options: argparse.Namespace) -> int:
    """Say what is wrong with each row, and how many are good."""
    checked = checked_orders(options)
    if options.json:
        print_json([vars(fault) for fault in checked.faults])
    else:
        tell_faults(checked)
        print(f"{len(checked.orders)} of {len(checked.orders) + len(checked.faults)} rows can be made")
    return BLOCKED if checked.faults else MADE


def checked_orders(options: argparse.Namespace) -> Checked:
    """Return the table that was named, checked; raises what reading and checking it raise."""
    from ...job.written.files import parse_setting
    from ...orders.tables.checking import check_orders
    from ...orders.tables.reading import read_orders
    from ...templates import template_called

    table, progress = read_orders(options.table), ProgressLine(sys.stderr)
    try:
        return check_orders(
            table,
            template_called(options.template),
            options.table.absolute().parent,
            settings=dict(parse_setting(text) for text in options.settings),
            left_out=options.ignore,
            told=progress.tell,
        )
    finally:
        progress.close()


def tell_faults(checked: Checked) -> None:
    """Say what is wrong with each bad row, a line each."""
    for fault in checked.faults:
        complain(str(fault))
