"""A stamp for each row of a table: names put into a text of its artwork, each written or rendered."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty
from bpy_extras.io_utils import ImportHelper

from ...export import exporting, tables
from ...export.naming import place_given
from ...live import following
from ...stampwright.errors import StampwrightError
from ...stampwright.job.labels import in_labels
from ..base import StampOperator
from ..stamps.making import Watching

if TYPE_CHECKING:
    from bpy.types import Context

MOST_TOLD = 20
"""Rows that were not made which are told one by one."""


class STAMPWRIGHT_OT_export_table(Watching, StampOperator, ImportHelper, bpy.types.Operator):
    """Put the names of a table into a text of the artwork one by one, and write or render the stamp of each"""

    bl_idname = "stampwright.export_table"
    bl_label = "Stamps from Table"

    room = exporting

    filter_glob: StringProperty(default="*.csv;*.tsv;*.jsonl", options={"HIDDEN"})
    directory_out: StringProperty(
        name="Folder", description="Where each stamp's own folder comes; empty for beside the table", subtype="DIR_PATH"
    )
    text: StringProperty(name="Text", description="Text object that is filled; empty for the first of the artwork")
    column: StringProperty(name="Column", description="Column that fills it; empty for the first of the table")
    become: EnumProperty(
        name="As",
        description="What becomes of each row",
        items=(
            ("FILES", "Files", "All files of the stamp, proven as they are written"),
            ("PICTURES", "Pictures", "A picture of the stamp, rendered"),
        ),
    )
    overwrite: BoolProperty(
        name="Overwrite", description="Replace files of a stamp that are in its folder already", default=False
    )

    def invoke(self, context: Context, event: Any) -> set[str]:
        """Ask for the table."""
        self._asked = True
        return set(ImportHelper.invoke(self, context, event))

    def execute(self, context: Context) -> set[str]:
        """Make the stamps; in a window, beside Blender, telling how far it is."""
        try:
            self._rows, self._bad = tables.read_names(
                Path(bpy.path.abspath(self.filepath)), self.stamp(context), self.text, self.column
            )
            self._place = place_given(self.directory_out or str(Path(bpy.path.abspath(self.filepath)).parent))
            in_window = getattr(self, "_asked", False) and not bpy.app.background
            work = self._render if self.become == "PICTURES" else self._write
            return work(context, in_window=in_window)
        except StampwrightError as error:
            self.report({"ERROR"}, in_labels(str(error)))
            return {"CANCELLED"}

    def ended(self) -> set[str]:
        """Say what was written, and what stood against the rest."""
        try:
            return self._tell(self._work.result())
        except StampwrightError as error:
            self.report({"ERROR"}, in_labels(str(error)))
            return {"CANCELLED"}

    def modal(self, context: Context, event: Any) -> set[str]:
        """Tell how far it is, and stop on Esc; pictures are rendered one at each look."""
        if self.become == "FILES":
            return Watching.modal(self, context, event)
        if event.type == "ESC" and event.value == "PRESS":
            self._end(context, {"CANCELLED"})
            self._tell(tables.TableWritten(tuple(self._done), tuple(self._told)))
            return {"CANCELLED"}
        if event.type == "TIMER":
            if len(self._done) + len(self._told) >= len(self._rows):
                return self._end(context, self._tell(tables.TableWritten(tuple(self._done), tuple(self._told))))
            self._render_next(context)
            context.window_manager.progress_update(int(100 * self._share()))
        return {"PASS_THROUGH"}

    def _write(self, context: Context, *, in_window: bool) -> set[str]:
        root = self.stamp(context)
        parcels = tables.pack_all(root, self._rows, self._place)
        if in_window:
            return self.watch(context, root, tables.start(root, parcels, overwrite=self.overwrite))
        manager = context.window_manager
        manager.progress_begin(0, 100)
        try:
            written = tables.write_all(
                parcels, overwrite=self.overwrite, tell=lambda _step, share: manager.progress_update(int(100 * share))
            )
        finally:
            manager.progress_end()
        return self._tell(written)

    def _render(self, context: Context, *, in_window: bool) -> set[str]:
        self._done: list[Path] = []
        self._told: list[str] = []
        self._scene, self._root = context.scene.name, self.stamp(context).name
        manager = context.window_manager
        manager.progress_begin(0, 100)
        if in_window:
            self._timer = manager.event_timer_add(0.05, window=context.window)
            manager.modal_handler_add(self)
            return {"RUNNING_MODAL"}
        try:
            for _ in self._rows:
                self._render_next(context)
                manager.progress_update(int(100 * self._share()))
        finally:
            manager.progress_end()
        return self._tell(tables.TableWritten(tuple(self._done), tuple(self._told)))

    def _render_next(self, context: Context) -> None:
        """Render the picture of the next row, and leave the scene as it was."""
        named = self._rows[len(self._done) + len(self._told)]
        root = bpy.data.objects[self._root]
        path = self._place / named.folder / "picture.png"
        operators: Any = bpy.ops.stampwright  # type: ignore[attr-defined]  # entered by the extension
        try:
            with tables.saying(root, named):
                following.build_now(root)
                path.parent.mkdir(parents=True, exist_ok=True)
                operators.render_picture(filepath=str(path), overwrite=self.overwrite)
        except (StampwrightError, RuntimeError, OSError) as error:
            # What a call within a call reports, the host raises.
            self._told.append(f"row {named.row}, {named.words}: {str(error).removeprefix('Error: ').strip()}")
        else:
            self._done.append(path)
        finally:
            operators.remove_pictures()
            if context.window is not None:
                context.window.scene = bpy.data.scenes[self._scene]

    def _share(self) -> float:
        return (len(self._done) + len(self._told)) / max(len(self._rows), 1)

    def _tell(self, written: tables.TableWritten) -> set[str]:
        told, wrong = tables.told_of(written, self._bad, self._place)
        for line in wrong[:MOST_TOLD]:
            self.report({"WARNING"}, in_labels(line))
        if len(wrong) > MOST_TOLD:
            self.report({"WARNING"}, f"and {len(wrong) - MOST_TOLD} more rows were not made")
        self.report({"INFO"}, told)
        return {"FINISHED"} if written.folders else {"CANCELLED"}


CLASSES = (STAMPWRIGHT_OT_export_table,)
