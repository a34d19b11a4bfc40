"""Where presets are kept: Stampwright's beside this file, the user's in the folder that the host gives an extension."""

from __future__ import annotations

import json
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import bpy

from ...loading import EXTENSION
from ...stampwright.errors import JobError, OutputError, reason_of
from ...stampwright.job.written.old_names import SECTIONS, current_settings

SORTS: dict[str, tuple[str, ...]] = {
    "material": (
        "die.material",
        "die.relief",
        "die.shoulder",
        "die.dressing",
        "backing.material",
        "handle.material",
    ),
    "printer": (
        "printer.nozzle",
        "printer.line_ratio",
        "printer.layer",
        "printer.hard_nozzle",
        "printer.hard_line_ratio",
        "printer.hard_layer",
        "printer.brim",
        "printer.bed_width",
        "printer.bed_depth",
        "printer.bed_height",
        "printer.speed_flexible",
        "printer.speed_rigid",
        "printer.size_across",
        "printer.size_up",
    ),
    "handle": (
        "handle.form",
        "handle.height",
        "handle.grip_width",
        "handle.neck_width",
        "handle.edge_radius",
        "handle.hollow",
        "handle.hollow_wall",
        "handle.up_mark",
        "handle.index",
        "handle.index_depth",
        "handle.walls",
        "handle.infill",
    ),
}
"""Sorts of preset, and the settings that a preset of the user's own holds."""

DRAWN_FORMS = ("turned", "straight")
"""Handles that a curve gives their form."""

Presets = dict[str, dict[str, Any]]


def presets_of(sort: str) -> Presets:
    """Return the presets of a sort: by label, the settings that each sets, by path; the user's own come last."""
    return _bundled(sort) | own_presets(sort)


def own_presets(sort: str) -> Presets:
    """Return the user's own presets of a sort; a file that cannot be read counts as none."""
    try:
        return _read(_own_file(sort))
    except OutputError:
        return {}


def keep(sort: str, label: str, values: dict[str, Any]) -> None:
    """Keep settings as a preset of the user's own, in place of one of the same label.

    Raises :class:`JobError` when it cannot be told from those that come with Stampwright or would not hold all of a
    handle, :class:`OutputError` when its file cannot be read or written.
    """
    label = label.strip()
    if not label:
        raise JobError("A preset needs a name: type one beside the plus sign")
    if label in _bundled(sort):
        raise JobError(f"The preset {label!r} comes with Stampwright: choose another name")
    if values.get("handle.form") in DRAWN_FORMS:
        raise JobError("A preset cannot hold the curve that this handle is drawn with: append the stamp from its file")
    path = _own_file(sort)
    _write(path, _read(path) | {label: values})


def drop(sort: str, label: str) -> None:
    """Drop a preset of the user's own; raises :class:`OutputError` when its file cannot be read or written."""
    path = _own_file(sort)
    _write(path, {each: values for each, values in _read(path).items() if each != label})


@cache
def _bundled(sort: str) -> Presets:
    file = Path(__file__).parent / f"{sort}.toml"
    # None come with Stampwright of what only the user's own prints can tell.
    held = tomllib.loads(file.read_text(encoding="utf-8")) if file.is_file() else {}
    return {label: dict(settings) for label, settings in held.items()}


def _own_file(sort: str) -> Path:
    return Path(bpy.utils.extension_path_user(EXTENSION, path="presets")) / f"{sort}.json"


def _old_file(path: Path) -> Path | None:
    """Return the file that held these presets under an older name; it counts until they are written anew."""
    names = [old for old, new in SECTIONS.items() if new == path.stem]
    return path.with_stem(names[0]) if names else None


def _read(path: Path) -> Presets:
    if not path.is_file():
        old = _old_file(path)
        return _read(old) if old is not None and old.is_file() else {}
    try:
        held = json.loads(path.read_text(encoding="utf-8"))
        return {str(label): current_settings(dict(values)) for label, values in held.items()}
    except (OSError, ValueError, AttributeError, TypeError, JobError) as error:
        raise OutputError(f"{path} cannot be read as presets: correct it or move it away") from error


def _write(path: Path, presets: Presets) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside = path.with_suffix(".new")
        beside.write_text(json.dumps(presets, indent=1, ensure_ascii=False), encoding="utf-8")
        beside.replace(path)
    except OSError as error:
        raise OutputError(f"{path} cannot be written ({reason_of(error)})") from error
