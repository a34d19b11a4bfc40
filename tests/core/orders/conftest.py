"""An order to make: a small template, a table, and a run of the program over it in a process of its own."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from stampwright.orders.tables.checking import check_orders
from stampwright.orders.tables.reading import read_orders
from stampwright.templates import read_template

TEMPLATE = """
format = 2
[layout]
size_by = "page"
centre = "bounds"
[base]
outline = "rectangle"
width = 40.0
height = 14.0
[handle]
form = "block"
index = "none"
[preflight]
repair = true
[[pieces]]
kind = "lettering"
text = "{name}"
cap_height = 5.0
spacing = 0.2
fits = 36.0
"""


@pytest.fixture
def orders_of(tmp_path):
    """Return a function from rows of CSV to the orders of the small template."""

    def orders(*rows, columns="name"):
        (tmp_path / "template.toml").write_text(TEMPLATE, encoding="utf-8")
        (tmp_path / "orders.csv").write_text("\n".join([columns, *rows]) + "\n", encoding="utf-8")
        checked = check_orders(
            read_orders(tmp_path / "orders.csv"), read_template(tmp_path / "template.toml"), tmp_path
        )
        assert not checked.faults
        return checked.orders

    return orders


@pytest.fixture
def started(tmp_path):
    """Return a function that begins the program in a process of its own."""

    def start(*arguments, **given):
        environment = {**os.environ, "SOURCE_DATE_EPOCH": "1800000000", **given}
        command = [sys.executable, "-m", "stampwright", *map(str, arguments)]
        return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=environment)

    return start


def tree(folder: Path) -> dict[str, bytes]:
    """Return all that is in a folder, by name."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()}
