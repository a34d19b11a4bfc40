"""Setting several settings at once: repair, accepting a kind of finding, job files."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty, StringProperty
from bpy_extras.io_utils import ExportHelper, ImportHelper

from ... import loading
from ...job import changes
from ...job.properties import job_from_values, set_job
from ...job.settings import read_settings
from ...live import following
from ..base import StampOperator

if TYPE_CHECKING:
    from bpy.types import Context, Object


class STAMPWRIGHT_OT_read_job(StampOperator, ImportHelper, bpy.types.Operator):
    """Read every setting of the stamp from a job file, or those that were measured from a file of these"""

    bl_idname = "stampwright.read_job"
    bl_label = "Import Job"
    bl_options = {"REGISTER", "UNDO"}

    filter_glob: StringProperty(default="*.toml;*.json", options={"HIDDEN"})

    def run(self, context: Context) -> Any:
        """Read and set the job."""
        root = self.stamp(context)
        measured = loading.load("stampwright.job.measured")
        if measured.holds_measured(self.filepath):
            take_measured(root, measured.read_measured(self.filepath).settings)
            return
        job = loading.load("stampwright.job.written.files").read_job(self.filepath)
        with changes.quiet():
            set_job(root.stampwright, job)
        following.follow(root)


class STAMPWRIGHT_OT_write_job(StampOperator, ExportHelper, bpy.types.Operator):
    """Write every setting of the stamp to a job file, with its unit and reason"""

    bl_idname = "stampwright.write_job"
    bl_label = "Export Job"

    filename_ext = ".toml"
    check_extension = None
    filter_glob: StringProperty(default="*.toml;*.json", options={"HIDDEN"})
    check_existing: BoolProperty(default=True, options={"HIDDEN"})

    def run(self, context: Context) -> Any:
        """Write the job with the points of its picked curves."""
        root = self.stamp(context)
        order = loading.load("building.orders").read_order(root, context.evaluated_depsgraph_get())
        jobfile = loading.load("stampwright.job.written.files")
        path = Path(bpy.path.abspath(self.filepath))
        if not path.suffix:
            path = path.with_suffix(".toml")
        write = jobfile.job_as_json if path.suffix.lower() == ".json" else jobfile.job_as_toml
        text: str = write(order.job, folder=path.parent)
        loading.load("stampwright.files").write_file(path, text.encode(), overwrite=True)


def change_settings(root: Object, values: dict[str, Any]) -> None:
    """Set some settings of a stamp's job, by path, once they are found to agree; raises :class:`JobError`."""
    held = root.stampwright
    job = job_from_values(_possible(read_settings(held)), held).with_values(values)
    with changes.quiet():
        for path in values:
            section, _, name = path.partition(".")
            value = getattr(getattr(job, section), name)
            setattr(getattr(held, section), name, json.dumps(value) if isinstance(value, tuple) else value)
    following.follow(root)


def take_measured(root: Object, settings: Sequence[Any]) -> None:
    """Give a stamp's job measured settings, marked as such; raises :class:`JobError` when they do not agree with it."""
    held = root.stampwright
    before = job_from_values(_possible(read_settings(held)), held)
    job = loading.load("stampwright.job.measured").take_measured(before, settings)
    with changes.quiet():
        held.measured = json.dumps([asdict(each) for each in job.measured])
    change_settings(root, {each.setting: each.value for each in settings})


def _possible(values: dict[str, Any]) -> dict[str, Any]:
    """Return settings with the forms that curves are picked for, whose points are not in the properties, left aside."""
    forms = {"base.outline": ("custom", "round"), "handle.form": ("turned", "knob")}
    forms |= {"handle.form": ("straight", "knob")} if values["handle.form"] == "straight" else {}
    return values | {path: plain for path, (own, plain) in forms.items() if values[path] == own}


CLASSES = (
    STAMPWRIGHT_OT_read_job,
    STAMPWRIGHT_OT_write_job,
)
