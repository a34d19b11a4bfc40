"""Job files: JSON and TOML with a format version, and single settings as typed on a command line."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from dataclasses import asdict, replace
from functools import cache
from pathlib import Path
from typing import Any

from ...errors import JobError
from ..checks import unknown_setting
from ..inks import inks_as_data
from ..job import BESIDE, Job, job_settings
from ..pieces import pieces_as_data, pieces_from_data, with_files
from ..sections.bending import BendSection
from ..sections.face import FILES
from ..settings import Setting
from .old_names import SECTIONS, current_path, current_settings
from .tables import as_path, as_toml, parse_json, parse_toml, read_table

JOB_FORMAT = 2
"""Raised when a setting changes its name or meaning; a newer file is refused, not guessed at."""


def read_job(path: str | Path) -> Job:
    """Read a job from a ``.json`` or ``.toml`` file; settings that are missing keep their defaults.

    Files that it names relative to itself come back as whole paths, so that they are found from anywhere. Raises
    :class:`JobError` when the file is missing, not of its kind, of a newer format, or holds a setting or value that no
    job has.
    """
    path = as_path(path, "a job file")
    try:
        job = job_from_data(read_table(path, "a job file"))
        return with_named(job, lambda file: os.path.realpath(path.parent / file))
    except JobError as error:
        raise JobError(f"{path}: {error}") from error


def job_from_json(text: str) -> Job:
    """Return the job that JSON text describes; raises :class:`JobError`."""
    return job_from_data(parse_json(text))


def job_from_toml(text: str) -> Job:
    """Return the job that TOML text describes; raises :class:`JobError`."""
    return job_from_data(parse_toml(text))


def job_from_data(data: Any) -> Job:
    """Return the job that nested plain data describes; raises :class:`JobError`."""
    if not isinstance(data, dict):
        raise JobError("holds no sections such as [die] with settings: it is no job file")
    version = data.get("format", JOB_FORMAT)
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise JobError(f"format = {version!r} is not a format version; this program writes {JOB_FORMAT}")
    if version > JOB_FORMAT:
        raise JobError(
            f"the job has format {version}, newer than this program's {JOB_FORMAT}; update Stampwright to read it"
        )
    known = {path for path, _, _ in job_settings(Job())}
    sections = {path.partition(".")[0] for path in known if "." in path} | set(SECTIONS)
    values: dict[str, Any] = {}
    beside: dict[str, Any] = {}
    for name, value in data.items():
        if name == "format":
            continue
        if name in BESIDE:
            beside[name] = pieces_from_data(value) if name == "pieces" else value
            continue
        if name in sections:
            if not isinstance(value, dict):
                raise JobError(f"{name} is a section and takes a table of settings, not {value!r}")
            values.update({f"{name}.{inner}": part for inner, part in value.items()})
        elif name in known:
            values[name] = value
        else:
            raise unknown_setting(name, (known | sections | set(BESIDE)) - set(SECTIONS))
    return replace(Job().with_values(values), **beside)


def job_as_data(job: Job, *, folder: str | Path | None = None) -> dict[str, Any]:
    """Return the job as nested plain data with its format version first.

    ``folder``: where it will be kept; files that it names are then written relative to that folder, where they can be,
    so that the job makes the same stamp again from there. None leaves their names as they are.
    """
    job = _kept_in(folder, job)
    data: dict[str, Any] = {"format": JOB_FORMAT}
    if job.artwork:
        data["artwork"] = job.artwork
    for path, value, _ in job_settings(job):
        section, _, name = path.partition(".")
        plain = _plain(value)
        if name:
            data.setdefault(section, {})[name] = plain
        else:
            data[section] = plain
    if job.bend == BendSection():
        # Files of flat stamps are as they were before there were others.
        del data["bend"]
    if job.made_from:
        data["made_from"] = dict(job.made_from)
    if job.inks:
        data["inks"] = inks_as_data(job.inks)
    if job.measured:
        data["measured"] = [asdict(each) for each in job.measured]
    if job.pieces:
        data["pieces"] = pieces_as_data(job.pieces)
    return data


def job_as_json(job: Job, *, folder: str | Path | None = None) -> str:
    """Return the job as JSON text; :func:`job_from_json` gives the same job back. ``folder``: see :func:`job_as_data`.

    >>> job_from_json(job_as_json(Job())) == Job()
    True
    """
    return json.dumps(job_as_data(job, folder=folder), indent=2, ensure_ascii=False) + "\n"


def job_as_toml(job: Job, *, folder: str | Path | None = None) -> str:
    """Return the job as TOML text with each setting's unit and reason beside it. ``folder``: see :func:`job_as_data`.

    >>> job_from_toml(job_as_toml(Job())) == Job()
    True
    """
    job = _kept_in(folder, job)
    lines = [f"format = {JOB_FORMAT}"]
    lines += [f"artwork = {as_toml(job.artwork)}"] if job.artwork else []
    current = ""
    for path, value, about in job_settings(job):
        section, _, name = path.partition(".")
        if name and section != current:
            lines += ["", f"[{section}]"]
            current = section
        unit = f"{about.unit}: " if about.unit else ""
        lines.append(f"{name or section} = {as_toml(_plain(value))}  # {unit}{about.reason}")
    if job.made_from:
        lines += ["", "[made_from]", *(f"{as_toml(name)} = {as_toml(digest)}" for name, digest in job.made_from)]
    tables = [("inks", table) for table in inks_as_data(job.inks)]
    tables += [("measured", asdict(each)) for each in job.measured]
    tables += [("pieces", piece) for piece in pieces_as_data(job.pieces)]
    for name, table in tables:
        lines += ["", f"[[{name}]]", *(f"{inner} = {as_toml(value)}" for inner, value in table.items())]
    return "\n".join(lines) + "\n"


def parse_setting(text: str) -> tuple[str, Any]:
    """Split ``section.setting=value`` as typed on a command line into the path and a value of the setting's kind.

    Raises :class:`JobError` when the form is wrong or the setting unknown.

    >>> parse_setting("die.relief=1.6")
    ('die.relief', 1.6)
    """
    path, equals, typed = text.partition("=")
    path, typed = path.strip(), typed.strip()
    if not equals or not path:
        raise JobError(f"{text!r} is not a setting; write it as section.setting=value, for example die.relief=1.6")
    about = _known_settings()
    if current_path(path) not in about:
        raise unknown_setting(path, set(about))
    ((path, value),) = current_settings({path: _typed_value(typed, about[current_path(path)])}).items()
    return path, value


@cache
def _known_settings() -> dict[str, Setting]:
    return {path: about for path, _, about in job_settings(Job())}


def _typed_value(typed: str, about: Setting) -> Any:
    if about.kind in ("choice", "text"):
        return typed
    if about.kind == "names" and not typed.startswith("["):
        return [name.strip() for name in typed.split(",") if name.strip()]
    if about.kind == "switch":
        return {"true": True, "yes": True, "on": True, "false": False, "no": False, "off": False}.get(
            typed.lower(), typed
        )
    try:
        return json.loads(typed)
    except (ValueError, RecursionError):
        return typed


def _kept_in(folder: str | Path | None, job: Job) -> Job:
    return job if folder is None else with_named(job, lambda file: _relative_to(folder, file))


def with_named(job: Job, change: Callable[[str], str]) -> Job:
    """Return the job with the name of every file that it names changed."""
    face: dict[str, Any] = {name: change(file) for name in FILES if (file := getattr(job.face, name))}
    return replace(
        job,
        face=replace(job.face, **face),
        pieces=with_files(job.pieces, change),
        artwork=change(job.artwork) if job.artwork else "",
        made_from=tuple((change(name), digest) for name, digest in job.made_from),
    )


def _relative_to(folder: str | Path, file: str) -> str:
    try:
        return Path(os.path.relpath(os.path.realpath(file), os.path.realpath(folder))).as_posix()
    except ValueError:
        # On Windows nothing leads from one drive to another.
        return os.path.realpath(file)


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    return value
