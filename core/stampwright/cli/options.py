"""What several commands are told alike: the artwork, the job, where to write, and how to answer."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import JobError

if TYPE_CHECKING:
    from ..artwork import Artwork
    from ..job import Job
    from ..job.made_from import Measured


def add_artwork(command: argparse.ArgumentParser) -> None:
    """Let a command take artwork, whether it shall be repaired, and the job that it is for."""
    command.add_argument(
        "artwork",
        metavar="ARTWORK",
        type=Path,
        nargs="?",
        help="what the stamp shall print, as it reads on paper: SVG, PDF, a bitmap, or pieces (.toml); without it what "
        "the job names or has (see: stampwright pieces)",
    )
    add_template(command)
    add_all(command)
    command.add_argument("--repair", action="store_true", help="mend what can be mended (preflight.repair=true)")
    add_job(command)


def add_template(command: argparse.ArgumentParser) -> None:
    """Let a command fill a template instead of taking artwork and a job file."""
    command.add_argument(
        "--template",
        metavar="NAME",
        help="a stamp laid out in advance, in place of artwork (see: stampwright templates)",
    )
    command.add_argument(
        "--say",
        metavar="PLACE=WORDS",
        action="append",
        default=[],
        help='words for a place of the template, for example line1="Mossgate Seed Library"; may be given again',
    )


def add_job(command: argparse._ActionsContainer) -> None:
    """Let a command take a job file and single settings."""
    command.add_argument("--job", metavar="FILE", type=Path, help="job file, .toml or .json; the rest is default")
    command.add_argument(
        "--set",
        metavar="NAME=VALUE",
        dest="settings",
        action="append",
        default=[],
        help="change one setting, for example die.relief=1.6 or base.width=2in (see: stampwright settings); may be "
        "given again",
    )
    add_with(command)


def add_with(command: argparse._ActionsContainer) -> None:
    """Let a command take what was measured of printer, ink and paper."""
    command.add_argument(
        "--with",
        metavar="FILE",
        dest="measured",
        type=Path,
        action="append",
        default=[],
        help="settings that were measured (see: stampwright measure), in place of the job's own; may be given again, "
        "and the last one wins",
    )


def add_out(command: argparse.ArgumentParser, metavar: str, about: str, *, required: bool = True) -> None:
    """Let a command be told where to write, and whether over what is there."""
    command.add_argument("-o", "--out", metavar=metavar, type=Path, required=required, help=about)
    command.add_argument("--overwrite", action="store_true", help="write over what is there already")


def add_all(command: argparse.ArgumentParser) -> None:
    """Let a command list every finding."""
    command.add_argument("--all", action="store_true", help="list every finding, not only the first few of a kind")


def add_json(command: argparse.ArgumentParser, what: str) -> None:
    """Let a command answer in JSON."""
    command.add_argument("--json", action="store_true", help=f"print {what} as JSON")


def job_of(options: argparse.Namespace) -> Job:
    """Return the job of the file that was named, if any, with the settings that were given.

    Raises :class:`~stampwright.errors.JobError` when it cannot be read, or a setting is none.
    """
    from ..job.measured import take_measured
    from ..job.written.files import parse_setting
    from .unused import unused_of

    values: dict[str, Any] = dict(parse_setting(text) for text in options.settings)
    typed = tuple(values)
    taken = _measured(options, values)
    job = take_measured(_stated_job(options, values, taken), taken.values())
    if not getattr(options, "json", False):
        for line in unused_of(job, typed):
            print(line)
    return job


def _stated_job(options: argparse.Namespace, values: dict[str, Any], taken: dict[str, Measured]) -> Job:
    from ..job import Job
    from ..job.written.files import read_job
    from ..job.written.texts import as_line

    if getattr(options, "template", None) or getattr(options, "say", None):
        # Words are fitted to what the printer was found to print, not to what is assumed of it.
        return _job_of_template(options, {path: each.value for path, each in taken.items()} | values)
    job = read_job(options.job) if options.job else Job()
    if "name" not in values and job.name == Job().name and getattr(options, "artwork", None):
        values["name"] = as_line(_name_of(options.artwork)).strip()[:100] or Job().name
    if getattr(options, "repair", False):
        values["preflight.repair"] = True
    return job.with_values(values)


def _measured(options: argparse.Namespace, values: dict[str, Any]) -> dict[str, Measured]:
    """Return what was measured, to stand in place of a job's own settings, by setting; and say what comes from where.

    A setting that is given by itself wins over what was measured of it.
    """
    from ..job import Job
    from ..job.job import job_settings
    from ..job.measured import read_measured

    files = [read_measured(path) for path in getattr(options, "measured", [])]
    taken = {each.setting: each for file in files for each in file.settings if each.setting not in values}
    if files and not getattr(options, "json", False):
        units = {path: about.unit for path, _, about in job_settings(Job())}
        for path, each in taken.items():
            prints = f"{each.prints} print{'s' if each.prints != 1 else ''}"
            unit = f" {units[path]}" if units.get(path) else ""
            print(f"{path} = {each.value:.4g}{unit}, measured on {prints} ({each.source})")
    return taken


def _job_of_template(options: argparse.Namespace, values: dict[str, Any]) -> Job:
    from ..templates import fill_template, template_called

    if not options.template:
        raise JobError("--say fills a template: name one with --template (see: stampwright templates)")
    if options.artwork or options.job:
        raise JobError(f"--template brings artwork and job along: leave {options.artwork or options.job} out")
    said: dict[str, str] = {}
    for text in options.say:
        place, equals, words = text.partition("=")
        if not equals:
            raise JobError(f"--say {text!r} has no words; write PLACE=WORDS")
        if place.strip() in said:
            raise JobError(f"--say {place.strip()}= is there twice; say it once")
        said[place.strip()] = words
    if options.repair:
        values["preflight.repair"] = True
    return fill_template(template_called(options.template), said, values)


def artwork_of(options: argparse.Namespace, job: Job) -> Artwork:
    """Read the artwork that is named, or that the job names, or make it from the job's own pieces.

    Raises :class:`~stampwright.errors.JobError` when there is none, or one too many.
    """
    from ..artwork import read_artwork
    from ..workshop import artwork_of as named_artwork
    from ..workshop import fitted_size

    if options.artwork and job.pieces:
        raise JobError(f"{options.job} has pieces of its own: leave {options.artwork} out, or make it a piece (a mark)")
    if options.artwork:
        return read_artwork(options.artwork, fitted_to=fitted_size(job), tracing=job.tracing)
    if not job.pieces and not job.artwork:
        raise JobError("no artwork: name a file, or a job file that names one or has pieces (see: stampwright pieces)")
    return named_artwork(job)


def _name_of(artwork: Path) -> str:
    """Return the name that a pieces file gives itself, otherwise that of the file."""
    if artwork.suffix.lower() not in (".toml", ".json"):
        return artwork.stem
    from ..artwork.made import name_of_pieces

    return name_of_pieces(artwork) or artwork.stem
