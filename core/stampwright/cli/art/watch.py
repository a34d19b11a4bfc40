"""The command that examines artwork again at every save and shows it in a browser."""

from __future__ import annotations

import argparse
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ...errors import StampwrightError
from ..options import add_artwork, artwork_of, job_of
from ..terminal import MADE, count_in_words

if TYPE_CHECKING:
    from ...artwork import Artwork
    from ...memory import Memory
    from ...watching import Board


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "watch",
        help="examine artwork again at every save, as a page in the browser",
        description="Examine artwork, show the sheet as a page that only this machine can open, and again whenever "
        "artwork or job file are saved. While a file is half-written or bad, the last good sheet stays. Ctrl-C ends.",
        epilog="Exit code 0: ended; 2: bad usage.",
    )
    add_artwork(command)
    command.add_argument(
        "--port", metavar="NUMBER", type=_port, default=0, help="serve on this port; without it on one that is free"
    )
    command.add_argument("--open", action="store_true", help="open the page in the browser")
    command.add_argument(
        "--ways", action="store_true", help="look for what would make it pass as well, which takes a while"
    )
    command.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Watch until Ctrl-C; raises :class:`~stampwright.errors.JobError` when there is no file to watch."""
    from ...errors import JobError
    from ...memory import Memory
    from ...watching import Board, changes, serving

    files = [path for path in (options.artwork, options.job) if path is not None]
    if not files:
        raise JobError("nothing to watch: name the artwork, or a job file that has pieces (--job)")
    files += options.measured
    board, memory = Board(files[0].name), Memory()
    with serving(board, options.port) as address:
        print(f"Watching {' and '.join(map(str, files))}; the sheet is at {address} (Ctrl-C ends)", flush=True)
        if options.open:
            import webbrowser

            webbrowser.open(address)
        watched, told, more_watched = list(files), "", False
        try:
            while True:
                for _ in changes(watched):
                    before, (told, read) = told, _examine_again(options, board, memory)
                    # Nothing has changed by watching more files.
                    if told != before or not more_watched:
                        print(f"{time.strftime('%H:%M:%S')} {told}", flush=True)
                    more_watched = not set(read) <= set(watched)
                    if more_watched:
                        watched = list(dict.fromkeys((*files, *read)))
                        break
        except KeyboardInterrupt:
            print("\nStopped.")
    return MADE


def _examine_again(options: argparse.Namespace, board: Board, memory: Memory) -> tuple[str, list[Path]]:
    """Bring the board up to the files, and say in a line how it went, and what files the artwork was read from."""
    from ...output import examination_body, sheet_title
    from ...remedy import answer_for

    try:
        job = job_of(options)
        artwork = artwork_of(options, job)
        answer = answer_for(
            job, artwork, memory=memory, look_for_ways=options.ways, read=lambda job: artwork_of(options, job)
        )
        body = examination_body(answer)
    except StampwrightError as error:
        board.hold(str(error))
        return f"held: {error}", []
    except Exception as error:
        # One save that is too much for the program must not end the watch over those to come.
        trouble = f"this cannot be examined ({type(error).__name__}: {error})"
        board.hold(trouble)
        return f"held: {trouble}", []
    board.show(sheet_title(answer.examined), body)
    return count_in_words(answer.examined.findings), _files_of(artwork, options)


def _files_of(artwork: Artwork, options: argparse.Namespace) -> list[Path]:
    """Return the files that artwork was read from: its own, and the marks and fonts that its pieces name."""
    own = [Path(artwork.sources.file.name)] if artwork.sources.file is not None else []
    beside = own[0] if own else options.job
    return own + [beside.parent / each.name for each in artwork.sources.named if beside is not None]


def _port(typed: str) -> int:
    try:
        number = int(typed)
    except ValueError:
        number = -1
    if not 0 <= number <= 65535:
        raise argparse.ArgumentTypeError(f"{typed!r} is no port: it takes a whole number from 0 to 65535")
    return number
