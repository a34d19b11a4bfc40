"""The command that lists the settings of a job."""

from __future__ import annotations

import argparse
import json
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..options import add_with, job_of
from ..terminal import MADE

if TYPE_CHECKING:
    from ...job.settings import Setting


def offer(commands: Any) -> None:
    """Add the command to those of the program."""
    command = commands.add_parser(
        "settings",
        help="list every setting of a job with its value, limits and reason",
        description="List every setting that a job file or --set can change; with a section or a setting named, only "
        "that.",
        epilog="For example: stampwright settings handle;  stampwright settings die.relief",
    )
    command.add_argument("names", metavar="NAME", nargs="*", help="section or setting to list")
    command.add_argument("--job", metavar="FILE", type=Path, help="show the values of this job file")
    add_with(command)
    command.set_defaults(run=run, settings=[])


def run(options: argparse.Namespace) -> int:
    """Print the settings asked for, section by section."""
    from ...job.checks import unknown_setting
    from ...job.job import job_settings
    from ...job.measured import measured_in
    from ...job.written.old_names import SECTIONS, current_path

    job = job_of(options)
    listed, measured = list(job_settings(job)), measured_in(job)
    known = {path for path, _, _ in listed}
    sections = {path.partition(".")[0] for path in known}
    names = {SECTIONS.get(name, current_path(name)) for name in options.names}
    for name in names - known - sections:
        raise unknown_setting(name, known | sections)
    current = ""
    for path, value, about in listed:
        section = path.partition(".")[0]
        if names and not {path, section} & names:
            continue
        if section != current:
            current = section
            print()
        _print_setting(path, value, about)
        if path in measured:
            by = measured[path]
            print(f"    Measured: {by.low:.4g} to {by.high:.4g}, on {by.prints} prints ({by.source}).")
    return MADE


def _print_setting(path: str, value: Any, about: Setting) -> None:
    print(f"{path} = {json.dumps(value, ensure_ascii=False)}{' ' + about.unit if about.unit else ''}")
    print(f"    {about.reason}. Takes {about.allowed()}.")
    if isinstance(about.choices, Mapping):
        for choice, reason in about.choices.items():
            print(f"      {choice}: {reason}")
