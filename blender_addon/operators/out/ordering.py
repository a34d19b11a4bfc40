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
from ...mockup import stage
from ...stampwright.errors import Cancelled, StampwrightError
from ..base import StampOperator, refused
from ..watching import Watching
from ...translations import said

if TYPE_CHECKING:
    from collections.abc import Callable

    from bpy.types import Context

    from ...live.tasks import LiveTask
    from ...stampwright.memory import Progress

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
            root = self.stamp(context)
            path = Path(bpy.path.abspath(self.filepath))
            rows, bad = tables.read_names(path, root, self.text, self.column)
            place = place_given(self.directory_out or str(path.parent))
            self._table = tables.TableOfStamps(root, rows, bad, place, overwrite=self.overwrite)
        except StampwrightError as error:
            return refused(self, str(error))
        self._scene, self._root = context.scene.name, root.name
        if getattr(self, "_asked", False) and not bpy.app.background:
            self._number, self._step = root.session_uid, ""
            self._writing: LiveTask | None = None
            self._is_stopping = False
            return self.begin_to_watch(context)
        manager = context.window_manager
        manager.progress_begin(0, 100)
        try:
            while self._do_next(context, lambda _step, share: manager.progress_update(int(100 * share))):
                manager.progress_update(int(100 * self._table.share))
        finally:
            manager.progress_end()
        return self._tell()

    def modal(self, context: Context, event: Any) -> set[str]:
        """Go on from row to row, tell how far it is, and stop on Esc."""
        if event.type == "ESC" and event.value == "PRESS":
            # The row that is being written may be whole before it can stop: it is waited for, and counted.
            self._is_stopping = True
            if self._writing is not None:
                self._writing.stop()
        if event.type == "TIMER" and self._is_over(context):
            return self._end(context, self._tell(stopped=self._is_stopping))
        return {"PASS_THROUGH"}

    def _is_over(self, context: Context) -> bool:
        """Look how far it is, and begin with the next row when the one before is done; whether that was the last."""
        if self._writing is not None:
            if self.room.work_at(self._number) is self._writing:
                self.tell_how_far(context, self._writing.step, self._writing.share)
                return False
            self._note(self._writing.result)
            self._writing = None
        if self._is_stopping:
            return True
        going_on = self._do_next(context, None)
        self.tell_how_far(context, self._step, self._table.share)
        return not going_on

    def _do_next(self, context: Context, tell: Progress | None) -> bool:
        """Do the next row, or begin with it when there is nobody to tell; whether there was one."""
        named = self._table.next_row()
        if named is None:
            return False
        self._step = named.words
        if self.become == "PICTURES":
            self._render(context, named)
        elif self._table.pack(named) is None:
            pass
        elif tell is None:
            self._writing = tables.start(bpy.data.objects[self._root], self._table)
        else:
            self._note(lambda: self._table.write(tell))
        return True

    def _note(self, result: Callable[[], Path]) -> None:
        """Note how it came out with a row."""
        try:
            self._table.came_out(result())
        except Cancelled:
            self._table.came_out(None)
        except StampwrightError as error:
            self._table.came_out(None, error)

    def _render(self, context: Context, named: tables.Named) -> None:
        """Render the picture of a row, and leave the scene as it was."""
        root = bpy.data.objects[self._root]
        path = self._table.place / named.folder / "picture.png"
        if path.exists() and not self.overwrite:
            self._table.there.append(path)
            return
        operators: Any = bpy.ops.stampwright  # type: ignore[attr-defined]  # entered by the extension
        try:
            with stage.set_aside(), tables.saying(root, named):
                following.build_now(root)
                path.parent.mkdir(parents=True, exist_ok=True)
                operators.render_picture(filepath=str(path), overwrite=self.overwrite)
        except (StampwrightError, RuntimeError, OSError) as error:
            # What a call within a call reports, the host raises.
            self._table.told.append(f"row {named.row}, {named.words}: {str(error).removeprefix('Error: ').strip()}")
        else:
            self._table.written.append(path)
        finally:
            if context.window is not None:
                context.window.scene = bpy.data.scenes[self._scene]

    def _tell(self, *, stopped: bool = False) -> set[str]:
        wrong = self._table.told
        for line in wrong[:MOST_TOLD]:
            self.report({"WARNING"}, said(line))
        if len(wrong) > MOST_TOLD:
            self.report({"WARNING"}, said(f"and {len(wrong) - MOST_TOLD} more rows were not made"))
        self.report({"INFO"}, self._table.in_short(stopped=stopped))
        # What is stopped does not end as cancelled: the host would tell nobody what is made by then.
        return {"FINISHED"} if stopped or self._table.written or self._table.there else {"CANCELLED"}


CLASSES = (STAMPWRIGHT_OT_export_table,)
