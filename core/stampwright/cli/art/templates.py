"""The command that lists the stamps that are laid out in advance."""

from __future__ import annotations

import argparse
from typing import Any

from ..terminal import MADE


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "templates",
        help="list the stamps that are laid out in advance, to be filled with words",
        description="List every template with its places for words, and what they say unless told otherwise.",
        epilog='For example: stampwright make --template address --say line1="Mossgate Seed Library" -o my-stamp',
    )
    command.set_defaults(run=run)


def run(_options: argparse.Namespace) -> int:
    """Print every template and its places."""
    from ...templates import list_templates

    for template in list_templates():
        print(f"{template.name}: {template.about}")
        for place, words in template.words.items():
            print(f"    {place}: {words or '(left out)'}{', needed' if place in template.needed else ''}")
        print()
    return MADE
