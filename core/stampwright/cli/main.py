"""The program itself: which commands there are, and what it says when one of them fails."""

from __future__ import annotations

import argparse
import difflib
import os
import re
import sys
from collections.abc import Sequence
from typing import NoReturn

from ..errors import AlreadyThereError, ProofError, StampwrightError
from ..version import __version__
from .art import pieces, preflight, settings, templates, view, watch
from .paper import compare, measure, testdie
from .stamps import impress, making, orders, push, sets
from .terminal import BLOCKED, STOPPED, UNUSABLE, complain

COMMANDS = (
    making,
    preflight,
    watch,
    impress,
    push,
    view,
    settings,
    pieces,
    sets,
    templates,
    testdie,
    measure,
    compare,
    orders,
)
"""The commands in the order of the job; each module offers one, and loads what it takes only when it is run."""

OLD_NAMES = {"press": "push", "figures": "settings"}
"""What commands were called before; scripts that say so go on working."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code: 0 made, 1 a finding blocks, 2 bad usage or unreadable input."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    if words and words[0] in OLD_NAMES:
        words[0] = OLD_NAMES[words[0]]
    try:
        parser = _parser()
        options, unknown = parser.parse_known_args(words)
        if unknown:
            # Of the command that was named, whose help lists what it takes.
            parser.prog += f" {next(word for word in words if not word.startswith('-'))}"
            parser.error(f"it takes no {' '.join(unknown)}")
        code: int = options.run(options)
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader of a pipe went away (``| head``); Python would complain again at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return STOPPED
    except KeyboardInterrupt:
        complain("stopped; nothing was left half-written")
        return STOPPED
    except Exception as error:
        # The edge of the program: whoever runs it gets one line; whoever mends it gets the rest by development mode.
        if sys.flags.dev_mode and not isinstance(error, StampwrightError):
            raise
        complain(_explained(error))
        # What was asked for is usable, but what came of it does not hold.
        return BLOCKED if isinstance(error, ProofError) else UNUSABLE
    return code


def _explained(error: Exception) -> str:
    """Say in one line what went wrong and what to do."""
    if isinstance(error, AlreadyThereError):
        return f"{error} (--overwrite)"
    if isinstance(error, StampwrightError):
        return str(error)
    if isinstance(error, MemoryError | RecursionError):
        return f"the artwork is too much for this machine ({type(error).__name__}); simplify it"
    return (
        f"a fault of this program, not of yours ({type(error).__name__}: {error}); please report it with the artwork; "
        "'python -X dev -m stampwright' shows where it happened"
    )


class _Parser(argparse.ArgumentParser):
    """A parser whose complaint is one line, with where to find help."""

    def error(self, message: str) -> NoReturn:
        complain(f"{_in_plain_words(message)} (see: {self.prog} --help)")
        raise SystemExit(UNUSABLE)


def _in_plain_words(message: str) -> str:
    """Return what the parser says as the rest of the program would say it.

    >>> _in_plain_words("argument --dpi: invalid float value: 'abc'")
    "--dpi 'abc' is no number"
    >>> _in_plain_words("argument COMMAND: invalid choice: 'mkae' (choose from 'make', 'push')")
    "there is no command 'mkae'; nearest: make"
    >>> _in_plain_words("the following arguments are required: SCAN, -o/--out")
    'still missing: SCAN, -o/--out'
    """
    if found := re.fullmatch(r"argument (\S+): invalid (float|int) value: (.*)", message):
        option, kind, said = found.groups()
        return f"{option.rpartition('/')[2]} {said} is no {'number' if kind == 'float' else 'whole number'}"
    if found := re.fullmatch(r"argument (\S+): invalid choice: ('.*?') \(choose from (.*)\)", message):
        option, said, choices = found.groups()
        known = [choice.strip(" '") for choice in choices.split(",")]
        if option in ("COMMAND", "VERB"):
            near = difflib.get_close_matches(said.strip("'"), known, n=1)
            return f"there is no command {said}; {'nearest' if near else 'there are'}: {', '.join(near or known)}"
        return f"{option.rpartition('/')[2]} {said} is not allowed: it takes one of {', '.join(known)}"
    return message.replace("the following arguments are required", "still missing")


def _parser() -> _Parser:
    parser = _Parser(
        prog="stampwright",
        description="Turn line art into a working hand stamp: relief die, backing and handle, ready to print.",
        epilog="Start with:  stampwright make mark.svg -o my-stamp",
    )
    parser.add_argument("--version", action="version", version=f"stampwright {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True, parser_class=_Parser)
    for command in COMMANDS:
        command.offer(commands)
    return parser
