"""The commands for tables of orders: check one row by row, and make a stamp of each row."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .options import add_json
from .terminal import BLOCKED, MADE, complain, print_json

if TYPE_CHECKING:
    from ..orders.tables.checking import Checked


def offer(commands: Any) -> None:
    """Add the commands to those of the program."""
    command = commands.add_parser(
        "orders",
        help="make a stamp for each row of a table",
        description="A table of orders, CSV or a line of JSON a row, fills the places of a template: a job file whose "
        "texts have names in braces, or one of those that come along.",
    )
    verbs = command.add_subparsers(title="what to do", metavar="VERB", required=True)
    _offer_check(verbs)


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
    from ..job.files import parse_setting
    from ..orders.tables.checking import check_orders
    from ..orders.tables.reading import read_orders
    from ..templates import template_called

    table = read_orders(options.table)
    return check_orders(
        table,
        template_called(options.template),
        options.table.absolute().parent,
        settings=dict(parse_setting(text) for text in options.settings),
        left_out=options.ignore,
    )


def tell_faults(checked: Checked) -> None:
    """Say what is wrong with each bad row, a line each."""
    for fault in checked.faults:
        complain(str(fault))
