"""How the command line speaks: exit codes, findings in words, one line of progress, one line of complaint."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterable
from pathlib import Path
from typing import Any, TextIO

from ..findings import Finding, gathered
from ..job.files import parse_setting, read_job
from ..job.job import Job

MADE, BLOCKED, UNUSABLE, STOPPED = 0, 1, 2, 130

MOST_SHOWN = 4
"""Findings of one kind that are listed in words; the rest are counted. ``--json`` lists all."""


def add_job_options(command: argparse.ArgumentParser) -> None:
    """Let a command take a job file and single figures."""
    command.add_argument("--job", metavar="FILE", type=Path, help="job file, .toml or .json; the rest is default")
    command.add_argument(
        "--set",
        metavar="NAME=VALUE",
        dest="settings",
        action="append",
        default=[],
        help="change one figure, for example die.relief=1.6 (see: stampwright figures); may be given again",
    )


def job_of(options: argparse.Namespace) -> Job:
    """Return the job of the file that was named, if any, with the figures that were set."""
    job = read_job(options.job) if options.job else Job()
    settings: dict[str, Any] = {}
    for text in options.settings:
        path, value = parse_setting(text)
        settings[path] = value
    if "name" not in settings and job.name == Job().name and getattr(options, "artwork", None):
        settings["name"] = _printable(options.artwork.stem)
    if getattr(options, "repair", False):
        settings["preflight.repair"] = True
    return job.with_values(settings)


def print_findings(findings: Iterable[Finding]) -> None:
    """Print findings by kind: the first few with their places, what would mend them, and how many more there are."""
    for alike in gathered(findings):
        for finding in alike[:MOST_SHOWN]:
            print(f"{finding.severity:6}  {finding.kind}: {finding.message}{_where(finding)}")
        if len(alike) > MOST_SHOWN:
            print(f"        ... and {len(alike) - MOST_SHOWN} more of: {alike[0].kind} (--json lists all)")
        for remedy in dict.fromkeys(finding.remedy for finding in alike if finding.remedy):
            print(f"        {remedy}")


def complain(message: str) -> None:
    """Say what was wrong, in one line on standard error."""
    print("stampwright: " + " ".join(message.split()), file=sys.stderr)


class Progress:
    """Tells a person what is going on: one line that changes on a terminal, a line a slow step elsewhere."""

    SLOW = 2.0
    """Seconds after which a step is worth a line of its own."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._lively = stream.isatty()
        self._last = time.monotonic()

    def tell(self, step: str, share: float) -> None:
        """Say which step has begun and what share of the whole is done, 0 to 1."""
        now = time.monotonic()
        if self._lively:
            self._stream.write(f"\r{share:4.0%} {step}".ljust(40))
            self._stream.flush()
        elif now - self._last > self.SLOW:
            print(f"{share:.0%} {step}", file=self._stream)
            self._last = now

    def close(self) -> None:
        """Clear the line."""
        if self._lively:
            self._stream.write("\r" + " " * 40 + "\r")
            self._stream.flush()


def _where(finding: Finding) -> str:
    at = finding.as_record()["at"]
    return f", at {at[0]:.1f}, {at[1]:.1f} mm" if at else ""


def _printable(text: str) -> str:
    return "".join(character for character in text if character.isprintable())[:100] or Job().name
