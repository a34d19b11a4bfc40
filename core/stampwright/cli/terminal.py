"""How the command line speaks: exit codes, findings in words, one line of progress, one line of complaint."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, TextIO, TypeVar

if TYPE_CHECKING:
    from ..findings import Finding

MADE, BLOCKED, UNUSABLE, STOPPED = 0, 1, 2, 130

MOST_SHOWN = 4
"""Findings of one kind that are listed in words unless all are asked for; the rest are counted."""

Result = TypeVar("Result")


def print_findings(findings: Iterable[Finding], *, all_of_them: bool = False) -> None:
    """Print findings by kind: the first few with their places, what would mend them, and how many more there are."""
    from ..findings import gathered

    for alike in gathered(findings):
        shown = alike if all_of_them else alike[:MOST_SHOWN]
        for finding in shown:
            print(f"{finding.severity:6}  {finding.kind}: {finding.message}{_where(finding)}")
        if len(alike) > len(shown):
            print(f"        ... and {len(alike) - len(shown)} more of: {alike[0].kind}; --all lists them")
        for remedy in dict.fromkeys(finding.remedy for finding in alike if finding.remedy):
            print(f"        {remedy}")


def print_json(record: Any) -> None:
    """Print plain data as JSON."""
    print(json.dumps(record, indent=2, ensure_ascii=False))


def as_records(findings: Iterable[Finding]) -> list[dict[str, Any]]:
    """Return findings as plain data, for JSON."""
    return [finding.as_record() for finding in findings]


def blocked_kinds(findings: Iterable[Finding]) -> str:
    """Say how many findings of each kind block: ``3 thin line, 1 speck``, the commonest first."""
    from ..findings import counted

    return ", ".join(f"{count} {kind}" for kind, count in counted(findings, "blocks").items())


def count_in_words(findings: Sequence[Finding]) -> str:
    """Say how many of all findings block: ``95 of 150 findings block``."""
    from ..findings import SEVERITIES, total

    # Notes that count the rest of a list say nothing of their own.
    rests = sum(finding.rest_of is not None for finding in findings)
    of_all = sum(total(findings, severity) for severity in SEVERITIES) - rests
    if not of_all:
        return "nothing found"
    one = "finding blocks" if of_all == total(findings, "blocks") == 1 else "findings block"
    return f"{total(findings, 'blocks')} of {of_all} {one}"


def print_count(findings: Sequence[Finding]) -> None:
    """Print how many of the findings block, and of which kinds."""
    which = blocked_kinds(findings)
    print(f"{count_in_words(findings)}{f': {which}' if which else ''}.")


def complain(message: str) -> None:
    """Say what was wrong, in one line on standard error."""
    print("stampwright: " + " ".join(message.split()), file=sys.stderr)


def say_blocked(findings: Sequence[Finding], hint: str) -> int:
    """Say which findings keep from being made what was asked for, and what to do, and return the exit code."""
    from ..findings import total

    blocks = total(findings, "blocks")
    several = f"{blocks} findings block" if blocks > 1 else "1 finding blocks"
    complain(f"not made: {several} ({blocked_kinds(findings)}); {hint}")
    return BLOCKED


def print_left_out(left_out: Mapping[str, str]) -> None:
    """Say which files were not written for want of a library, by the file's name."""
    for name, library in left_out.items():
        print(f"  {name} is left out: it takes {library}, which is not installed")


class ProgressLine:
    """Tells a person at a terminal what is going on, in one line that changes and then goes.

    Elsewhere nothing is told: what comes through a pipe or into a file is what was found and what was wrong, however
    long it took.
    """

    WIDTH = 40
    """Columns that are cleared when the line goes; a longer one is cut off, as it could not be cleared."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self._lively = stream.isatty()

    def tell(self, step: str, share: float) -> None:
        """Say which step has begun and what share of the whole is done, 0 to 1."""
        self._show(f"{100 * share:3.0f} % {step}")

    def __enter__(self) -> ProgressLine:
        """Begin to tell."""
        return self

    def __exit__(self, *_: object) -> None:
        """Clear the line, however the work ended."""
        self.close()

    def close(self) -> None:
        """Clear the line."""
        self._show("", end="\r")

    def _show(self, line: str, end: str = "") -> None:
        if self._lively:
            self._stream.write("\r" + line[: self.WIDTH].ljust(self.WIDTH) + end)
            self._stream.flush()


def with_progress(step: str, work: Callable[[Callable[[float], None]], Result]) -> Result:
    """Return what ``work`` gives, showing the share done that it tells under the name of one step."""
    with ProgressLine(sys.stderr) as progress:
        return work(lambda share: progress.tell(step, share))


def _where(finding: Finding) -> str:
    at = finding.as_record()["at"]
    if not at:
        return ""
    # Adding 0.0 turns what rounds to minus nought into nought.
    x, y = (round(middle, 1) + 0.0 for middle in at)
    return f", at {x:.1f}, {y:.1f} mm"
