"""The job's sections as Blender property groups, made from the core's own settings, and the way there and back."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import fields
from typing import Any, Literal

import bpy
from bpy.props import BoolProperty, EnumProperty, FloatProperty, IntProperty, StringProperty

from ..scene.overriding import overridable
from ..stampwright.job import Job, job_settings
from ..stampwright.job.labels import SETTINGS, choice_label, label_of, labelled, unit_of
from ..stampwright.job.settings import Setting
from ..translations import CONTEXT, tooltip_of

DIGITS = 7
"""Digits that a 32-bit float, which Blender's number properties are, always holds."""


PERCENT = "_percent"
"""Behind the name of a share: the property that shows it as percent."""

LENGTH: Literal["DISTANCE_CAMERA"] = "DISTANCE_CAMERA"
"""The host's sort of property for lengths that are millimetres whatever the scale of the scene."""


def name_of(path: str) -> str:
    """Return the name of a setting's property: its label, with its unit unless that stands beside the value."""
    return label_of(path) if unit_of(path) == "mm" else labelled(path)


def property_of(path: str, default: Any, changed: Callable[..., None]) -> Any:
    """Return the Blender property that holds a setting of the job."""
    about = SETTINGS[path]
    common: dict[str, Any] = {"name": name_of(path), "description": tooltip_of(path), "update": changed}
    common["translation_context"] = CONTEXT
    match about.kind:
        case "number":
            soft = about.normal or (about.low, about.high)
            # A slider shows the normal range; typing reaches the limits.
            return FloatProperty(
                **common,
                default=default,
                min=about.low,
                max=about.high,
                soft_min=min(soft[0], default),
                soft_max=max(soft[1], default),
                step=1 if about.high <= 1 else 10,
                precision=3 if about.high <= 1 else 2,
                subtype=LENGTH if about.unit == "mm" else "FACTOR" if about.is_share else "NONE",
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
            items = [(each, choice_label(each), reason) for each, reason in about.choices.items()]
            return EnumProperty(**common, default=default, items=items)
    return StringProperty(**common, default=_stored(default, about))


def _stored(value: Any, about: Setting) -> Any:
    """Return a value as its property keeps it: names as one would type them, points as JSON."""
    match about.kind:
        case "names":
            words = ", ".join(value)
            return words if read_names(words) == list(value) else json.dumps(value)
        case "points":
            return json.dumps(value)
    return value


def percent_of(path: str) -> Any:
    """Return the property that shows a share of the job as percent; it holds nothing itself."""
    about, name = SETTINGS[path], path.rpartition(".")[2]

    def read(held: Any) -> float:
        return 100.0 * float(getattr(held, name))

    def write(held: Any, percent: float) -> None:
        setattr(held, name, percent / 100.0)

    return FloatProperty(
        name=name_of(path),
        description=tooltip_of(path),
        translation_context=CONTEXT,
        get=read,
        set=write,
        min=100.0 * about.low,
        max=100.0 * about.high,
        soft_max=100.0 * (about.normal[1] if about.normal is not None and about.high > 1 else about.high),
        precision=0,
        step=100,
        subtype="PERCENTAGE",
        # Curves and drivers take the share itself.
        options={"SKIP_SAVE"},
    )


def section_groups(
    changed: Callable[..., None], own: dict[str, Callable[..., None]]
) -> dict[str, type[bpy.types.PropertyGroup]]:
    """Return a property group for each section of the job, by the section's name, not yet registered.

    ``own``: what is called, by the paths of settings, where that is not ``changed``.
    """
    sections: dict[str, dict[str, Any]] = {}
    for path, value, about in job_settings(Job()):
        section, _, name = path.partition(".")
        if name:
            held = sections.setdefault(section, {})
            held[name] = property_of(path, value, own.get(path, changed))
            if about.is_share:
                held[name + PERCENT] = percent_of(path)
    return {
        section: overridable(
            type(
                f"STAMPWRIGHT_PG_{section}",
                (bpy.types.PropertyGroup,),
                {"__annotations__": held, "__doc__": _first_line(section), "__module__": __name__},
            )
        )
        for section, held in sections.items()
    }


def read_settings(held: bpy.types.PropertyGroup) -> dict[str, Any]:
    """Return the values of all fields that property groups hold, by the path of each in the job."""
    return {path: _value_of(getattr(group, name), about) for path, group, name, about in _fields_in(held)}


def write_settings(held: bpy.types.PropertyGroup, job: Job) -> None:
    """Set property groups to a job's values; each property that has the value already is left alone."""
    values = {path: value for path, value, _ in job_settings(job)}
    for path, group, name, about in _fields_in(held):
        if _value_of(getattr(group, name), about) != values[path]:
            setattr(group, name, _stored(values[path], about))


def copy_settings(held: bpy.types.PropertyGroup, to: bpy.types.PropertyGroup) -> None:
    """Set property groups to the values of others; each property that has the value already is left alone."""
    for (_, group, name, _), (_, other, _, _) in zip(_fields_in(held), _fields_in(to), strict=True):
        if getattr(other, name) != getattr(group, name):
            setattr(other, name, getattr(group, name))


def read_names(stored: str) -> list[Any]:
    """Return the names that a property holds with commas between, or the names or points that it holds as JSON."""
    if stored.lstrip().startswith("["):
        try:
            parsed: list[Any] = json.loads(stored)
        except ValueError:
            pass
        else:
            return parsed
    return [part for part in re.split(r"\s*,\s*", stored.strip()) if part]


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
