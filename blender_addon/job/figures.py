"""The job's sections as Blender property groups, made from the core's own figures, and the way there and back."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import fields
from typing import Any, Literal

import bpy
from bpy.props import BoolProperty, EnumProperty, FloatProperty, IntProperty, StringProperty

from ..stampwright.job import Job, job_settings
from ..stampwright.job.materials import MATERIALS
from ..stampwright.job.settings import Setting

LABELS = {
    "size_by": "Size",
    "stiffness": "Stiffness",
    "pad_stiffness": "Pad Stiffness",
    "bedding_stiffness": "Bedding Stiffness",
    "block_lines": "Lines Block Under (passes)",
    "warn_lines": "Lines Warn Under (passes)",
    "speck": "Speck Under",
    "dot": "Dot Under",
    "isolation": "Dot Alone Within",
    "cover": "Inked Share",
    "die_per_kg": "Die Filament",
    "backing_per_kg": "Backing Filament",
    "handle_per_kg": "Handle Filament",
    "points_per_mm": "Points",
    "repair": "Repair Before Building",
    "repair_lines": "Thicken Lines",
    "repair_gaps": "Open Gaps",
    "repair_specks": "Specks",
    "repair_spikes": "Round Spikes",
    "dressing_done": "Dressed",
    "screen_spacing": "Spacing",
    "screen_turn": "Turn",
    "line_ratio": "Pass Width (× bore)",
    "double_outlines": "Double Lines",
}
"""Where the field's own name does not read well as a label, or its unit is a share of something."""

SECTIONS = {"layout": "Artwork", "preflight": "Limits and Repair", "printer": "Printer"}
"""Panels that are not named as the section of the job that they show."""

BUTTONS = {"preflight.repair": "Repair", "preflight.repair_at": "Repair", "preflight.accept": "Accept"}
"""Fields that a button sets."""

UNITS = {"deg": "°", "1/mm": "per mm", "1/kg": "per kg", "1/in": "dpi"}

CHOICES = {"tpu-95a": "TPU 95A", "tpu-85a": "TPU 85A"} | {
    key: material.label for key, material in MATERIALS.items() if not material.flexible
}

FIGURES = {path: about for path, _, about in job_settings(Job())}
"""What is known of each field of the job, by its path."""

DIGITS = 7
"""Digits that a 32-bit float, which Blender's number properties are, always holds."""


LENGTH: Literal["DISTANCE_CAMERA"] = "DISTANCE_CAMERA"
"""The host's sort of property for lengths that are millimetres whatever the scale of the scene."""


def label_of(name: str, about: Setting) -> str:
    """Return the label of a field, with its unit unless that stands beside the value, as it does with lengths.

    >>> label_of("corner_radius", Setting(kind="number", reason="", unit="mm"))
    'Corner Radius'
    >>> label_of("force", Setting(kind="number", reason="", unit="N"))
    'Force (N)'
    """
    label = LABELS.get(name, name.replace("_", " ").title())
    return label if about.unit in ("", "mm") else f"{label} ({UNITS.get(about.unit, about.unit)})"


def tooltip_of(about: Setting) -> str:
    """Return a field's reason and normal range as a tooltip: capital first, no full stop at the end."""
    text = about.reason[:1].upper() + about.reason[1:].rstrip(".")
    if about.normal is not None:
        unit = f" {UNITS.get(about.unit, about.unit)}" if about.unit else ""
        text += f".\nUsually {about.normal[0]:g} to {about.normal[1]:g}{unit}"
    return text


def in_labels(text: str) -> str:
    """Return a message of the core with fields of the job named as the panels label them.

    >>> in_labels("set handle.index to none")
    'set Handle: Index to none'
    """
    return re.sub(r"\b([a-z]+)\.([a-z_]+)\b", _label_for, text)


def _label_for(path: re.Match[str]) -> str:
    section, name = path.groups()
    if path.group() not in FIGURES:
        return path.group()
    if path.group() in BUTTONS:
        return BUTTONS[path.group()]
    return f"{SECTIONS.get(section, section.title())}: {label_of(name, FIGURES[path.group()]).partition(' (')[0]}"


def property_of(name: str, default: Any, about: Setting, changed: Callable[..., None]) -> Any:
    """Return the Blender property that holds a field of the job."""
    common: dict[str, Any] = {"name": label_of(name, about), "description": tooltip_of(about), "update": changed}
    match about.kind:
        case "number":
            soft = about.normal or (about.low, about.high)
            # A slider shows the normal range; typing reaches the limits.
            share = not about.unit and about.low >= 0 and about.high <= 1
            return FloatProperty(
                **common,
                default=default,
                min=about.low,
                max=about.high,
                soft_min=min(soft[0], default),
                soft_max=max(soft[1], default),
                step=1 if about.high <= 1 else 10,
                precision=3 if about.high <= 1 else 2,
                subtype=LENGTH if about.unit == "mm" else "FACTOR" if share else "NONE",
            )
        case "whole":
            soft = about.normal or (about.low, about.high)
            return IntProperty(
                **common,
                default=default,
                min=int(about.low),
                max=int(about.high),
                soft_min=int(min(soft[0], default)),
                soft_max=int(max(soft[1], default)),
            )
        case "switch":
            return BoolProperty(**common, default=default)
        case "choice":
            items = [
                (each, CHOICES.get(each, each.replace("-", " ").replace("_", " ").title()), "")
                for each in about.choices
            ]
            return EnumProperty(**common, default=default, items=items)
    # Text is kept as it is, names and points as JSON.
    text = default if about.kind == "text" else json.dumps(default)
    return StringProperty(**common, default=text)


def section_groups(changed: Callable[..., None]) -> dict[str, type[bpy.types.PropertyGroup]]:
    """Return a property group for each section of the job, by the section's name, not yet registered."""
    sections: dict[str, dict[str, Any]] = {}
    for path, value, about in job_settings(Job()):
        section, _, name = path.partition(".")
        if name:
            sections.setdefault(section, {})[name] = property_of(name, value, about, changed)
    return {
        section: type(
            f"STAMPWRIGHT_PG_{section}",
            (bpy.types.PropertyGroup,),
            {"__annotations__": held, "__doc__": _first_line(section), "__module__": __name__},
        )
        for section, held in sections.items()
    }


def read_figures(held: bpy.types.PropertyGroup) -> dict[str, Any]:
    """Return the values of all fields that property groups hold, by the path of each in the job."""
    return {path: _value_of(getattr(group, name), about) for path, group, name, about in _fields_in(held)}


def write_figures(held: bpy.types.PropertyGroup, job: Job) -> None:
    """Set property groups to a job's values; each property that has the value already is left alone."""
    values = {path: value for path, value, _ in job_settings(job)}
    for path, group, name, about in _fields_in(held):
        value = values[path]
        if about.kind in ("names", "points"):
            value = json.dumps(value)
        if _value_of(getattr(group, name), about) != values[path]:
            setattr(group, name, value)


def read_names(stored: str) -> list[Any]:
    """Return the names, or points, that a property holds as JSON; names typed with commas between will do."""
    try:
        parsed = json.loads(stored)
    except ValueError:
        return [part for part in re.split(r"\s*,\s*", stored) if part]
    return parsed if isinstance(parsed, list) else []


def _fields_in(held: Any) -> Iterator[tuple[str, Any, str, Setting]]:
    for path, _, about in job_settings(Job()):
        section, _, name = path.partition(".")
        if name:
            yield path, getattr(held, section), name, about
        else:
            # Every property group has a name of its own already.
            yield path, held, "job_name", about


def _value_of(stored: Any, about: Setting) -> Any:
    match about.kind:
        case "number":
            return float(f"{stored:.{DIGITS}g}")
        case "names":
            return tuple(read_names(stored))
        case "points":
            return tuple((x, y) for x, y in read_names(stored))
    return stored


def _first_line(section: str) -> str:
    described = next(each for each in fields(Job) if each.name == section)
    made: Any = described.default_factory
    return (made.__doc__ or "").strip().splitlines()[0]
