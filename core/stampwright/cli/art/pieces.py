"""The command that lists what artwork can be made of without a drawing program."""

from __future__ import annotations

import argparse
import json
from typing import Any

from ..terminal import MADE


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "pieces",
        help="list what artwork can be made of without a drawing program",
        description="List every kind of piece, lettering, rings, rules, frames, codes and marks, with its settings. "
        "Write them as tables [[pieces]], each with its kind, into a file of their own or into the job file.",
    )
    command.set_defaults(run=run)


def run(_options: argparse.Namespace) -> int:
    """Print every kind of piece with what its settings are unless they are set."""
    from ...job.pieces import PIECES, piece_settings

    for kind, piece in PIECES.items():
        print(f'[[pieces]]\nkind = "{kind}"')
        unless_set = piece()
        for name, about in piece_settings(piece).items():
            value = json.dumps(getattr(unless_set, name), ensure_ascii=False)
            print(f"    {name} = {value}{' ' + about.unit if about.unit else ''}")
            print(f"        {about.reason}. Takes {about.allowed()}.")
        print()
    return MADE
