"""The command that pictures parts."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import Any

from ..options import add_out
from ..terminal import MADE

SCREEN_DPI = 96.0
"""Recorded in pictures that are not at true size."""


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "view",
        help="picture parts from mesh files as they come off the printer",
        description="Draw parts side by side in isometric view, from their mesh files.",
    )
    command.add_argument("meshes", metavar="MESHFILE", type=Path, nargs="+", help="parts as .stl or .3mf")
    add_out(command, "PNG", "picture to write")
    command.add_argument("--width", metavar="N", type=int, default=1200, help="width of the picture, pixels (1200)")
    command.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read the parts and draw them."""
    from ...files import check_png, read_mesh, write_png
    from ...output import view_parts

    check_png(options.out)
    solids = [replace(read_mesh(path), name=path.stem) for path in options.meshes]
    write_png(options.out, view_parts(solids, width=options.width), dpi=SCREEN_DPI, overwrite=options.overwrite)
    print(f"{options.out}: {', '.join(solid.name for solid in solids)}")
    return MADE
