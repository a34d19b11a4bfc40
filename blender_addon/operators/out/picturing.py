"""Pictures of the finished stamp: arranging, filming, rendering, and taking it all away again."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty, EnumProperty, IntProperty, StringProperty

from ... import loading
from ...building import benches
from ...live import following
from ...mockup import stage, timing
from ...mockup.settings import ARRANGEMENTS, QUALITIES
from ...scene import stamps, views
from ...stampwright.errors import StampwrightError
from ..base import StampOperator
from ...translations import said

if TYPE_CHECKING:
    from bpy.types import Context, Object, Scene

STILL = ARRANGEMENTS[:-1]
"""The arrangements for a picture; the last is for a film."""


class _PictureOperator(StampOperator):
    """An operator on pictures of a stamp; works on stamps of other files too, which it does not change."""

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Ask for a stamp, or a picture of one."""
        if stage.pictured(context) is not None:
            return True
        cls.poll_message_set(said("Select a stamp, one of its parts, or its artwork"))
        return False

    @staticmethod
    def stamp(context: Context) -> Object:
        """Return the stamp that is pictured."""
        root = stage.pictured(context)
        if root is None:
            raise StampwrightError("There is no stamp: select one, one of its parts, or its artwork")
        return root

    def arrange(self, context: Context, arrangement: str, **effort: Any) -> Scene:
        """Return a new picture of the stamp, in place of one that is arranged alike, shown in the window.

        ``effort``: what goes into it where that is not what the stamp's settings say.
        """
        root = self.stamp(context)
        home = next((scene for scene in root.users_scene if stage.MARK not in scene), None)
        if home is None:
            raise StampwrightError(f"{root.name} is in no scene any more: there is nothing to picture")
        roots = [root]
        if arrangement == "FLAT_LAY":
            roots += [each for each in stamps.stamps_in(home) if each is not root]
        # Stamps are read in their own scene, whichever is shown.
        with context.temp_override(scene=home, view_layer=home.view_layers[0]):
            self.built = [(each, _built(each)) for each in roots]
        rendering = loading.load("mockup.rendering")
        wanted = timing.effort_of(root.stampwright.pictures, **effort)
        size, shown = (wanted.width, wanted.height), context.scene if stage.MARK in context.scene else None
        scene = loading.load("mockup.arrangements").make_picture(arrangement, self.built, size, shown)
        rendering.set_up(scene, wanted)
        _show(context, scene)
        return scene

    def picture(self, context: Context, arrangement: str = "BESIDE", **effort: Any) -> Scene:
        """Return the picture that is shown, or the stamp's newest, or a new one."""
        if stage.MARK in context.scene:
            return context.scene
        name = self.stamp(context).name
        held = [scene for scene in stage.pictures() if name in scene.get(stage.STAMPS, ())]
        return held[-1] if held else self.arrange(context, arrangement, **effort)


def _arranging(arrangement: tuple[str, str, str]) -> type:
    key, label, told = arrangement

    def run(self: Any, context: Context) -> Any:
        self.arrange(context, key)

    return type(
        f"STAMPWRIGHT_OT_picture_{key.lower()}",
        (_PictureOperator, bpy.types.Operator),
        {
            "__doc__": told,
            "bl_idname": f"stampwright.picture_{key.lower()}",
            "bl_label": label,
            "bl_options": {"REGISTER", "UNDO"},
            "run": run,
            "__module__": __name__,
        },
    )


class STAMPWRIGHT_OT_film_turntable(_PictureOperator, bpy.types.Operator):
    """Let the stamp of this picture turn once round, for a film that can be looped"""

    bl_idname = "stampwright.film_turntable"
    bl_label = "Turntable"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Arrange the picture anew, so that nothing else moves in it, and key the turn."""
        shown = context.scene.get(stage.MARK, "BESIDE")
        scene = self.arrange(context, shown if shown != "PRESS" else "BESIDE")
        held = self.stamp(context).stampwright.pictures
        animating = loading.load("mockup.films.animating")
        animating.turntable(scene, animating.set_length(scene, held.seconds, held.frame_rate))


class STAMPWRIGHT_OT_film_press(_PictureOperator, bpy.types.Operator):
    """Let the stamp come down on paper, be pushed, and lift off its impression, sheet after sheet"""

    bl_idname = "stampwright.film_press"
    bl_label = "Press"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Arrange the stamp on paper and key its way."""
        scene = self.arrange(context, "PRESS")
        root, stamp = self.built[0]
        held = root.stampwright.pictures
        animating = loading.load("mockup.films.animating")
        frames = animating.set_length(scene, held.seconds, held.frame_rate)
        animating.press(scene, stamp, frames, held.exaggerated)


class STAMPWRIGHT_OT_film_apart(_PictureOperator, bpy.types.Operator):
    """Let the parts of the stamp come together, and apart again, for a film that can be looped"""

    bl_idname = "stampwright.film_apart"
    bl_label = "Come Apart"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Draw the stamp apart and key the way of each part."""
        scene = self.arrange(context, "APART")
        root, stamp = self.built[0]
        held = root.stampwright.pictures
        animating = loading.load("mockup.films.animating")
        animating.come_apart(scene, stamp, animating.set_length(scene, held.seconds, held.frame_rate))


class STAMPWRIGHT_OT_estimate_picture(_PictureOperator, bpy.types.Operator):
    """Measure how long the picture will take, by rendering it very small"""

    bl_idname = "stampwright.estimate_picture"
    bl_label = "Measure Time"

    def run(self, context: Context) -> Any:
        """Render twice, very small, and say what follows."""
        scene = self.picture(context)
        rendering = loading.load("mockup.rendering")
        effort = timing.effort_of(self.stamp(context).stampwright.pictures)
        rendering.measure(scene, effort)
        self.report({"INFO"}, said(f"The picture takes {timing.estimate(effort)}"))


class STAMPWRIGHT_OT_leave_picture(bpy.types.Operator):
    """Go back to the scene that the stamp stands in; the picture stays"""

    bl_idname = "stampwright.leave_picture"
    bl_label = "Leave Picture"

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Ask for a picture that is shown."""
        if stage.MARK in context.scene:
            return True
        cls.poll_message_set(said("This is no picture: the stamp stands in this scene"))
        return False

    def execute(self, context: Context) -> set[str]:
        """Show the stamp's own scene, or, where the stamp is gone, any that is no picture."""
        root = stage.pictured(context)
        scenes = [*(root.users_scene if root is not None else ()), *bpy.data.scenes]
        home = next((scene for scene in scenes if stage.MARK not in scene), None)
        if home is None or context.window is None:
            self.report({"ERROR"}, said("There is no scene but pictures: add one"))
            return {"CANCELLED"}
        context.window.scene = home
        views.look_as_before(context.window.screen)
        # What was active there still is; where that is none of the stamp's, its panel would show another.
        if root is not None and root.name in context.view_layer.objects and stamps.stamp_of(context) != root:
            context.view_layer.objects.active = root
        return {"FINISHED"}


class _Rendering(_PictureOperator):
    """Renders a picture or a film to a file."""

    is_film = False
    filepath: str
    overwrite: bool

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Render beside Blender, which shows its progress and stops on Esc."""
        self.in_window = not bpy.app.background
        return self.execute(context)

    def run(self, context: Context) -> Any:
        """Set the scene up, aim at the file and render."""
        rendering = loading.load("mockup.rendering")
        names = ("quality", "width", "height")
        given = {name: getattr(self, name) for name in names if self.properties.is_property_set(name)}
        scene = self.picture(context, getattr(self, "arrangement", "BESIDE"), **given)
        root = self.stamp(context)
        effort = timing.effort_of(root.stampwright.pictures, **given)
        rendering.set_up(scene, effort)
        path = self._path(root, scene, rendering)
        aim = rendering.aim_film if self.is_film else rendering.aim_still
        aim(scene, path, overwrite=self.overwrite)
        frames = scene.frame_end - scene.frame_start + 1 if self.is_film else 1
        told = f"{path}: {timing.estimate(effort, frames)}"
        self.report({"INFO"}, f"{told}. {timing.COMPILES}" if timing.is_first_use(effort.engine) else told)
        rendering.render(scene, effort, film=self.is_film, in_window=getattr(self, "in_window", False))

    def _path(self, root: Object, scene: Scene, rendering: Any) -> Path:
        if self.filepath:
            return Path(bpy.path.abspath(self.filepath))
        asked = root.stampwright.pictures.folder
        # A file that is not saved yet has no folder.
        is_nowhere = asked.startswith("//") and not bpy.data.filepath
        folder = Path.home() / asked.removeprefix("//") if is_nowhere else Path(bpy.path.abspath(asked))
        title = f"{root.stampwright.job_name} {scene[stage.MARK].lower().replace('_', ' ')}"
        return rendering.free_name(folder, title, ".mp4" if self.is_film else ".png")


_FILE = {
    "filepath": StringProperty(
        name="File",
        description="File to write; its ending sets the format. Empty: a new name in the pictures folder",
        subtype="FILE_PATH",
    ),
    "overwrite": BoolProperty(name="Overwrite", description="Replace a file that is there already", default=False),
    "quality": EnumProperty(name="Quality", description="How long it may take", items=QUALITIES, default="SCREEN"),
    "width": IntProperty(name="Width (px)", description="Width of the picture", default=1280, min=16, max=16384),
    "height": IntProperty(name="Height (px)", description="Height of the picture", default=960, min=16, max=16384),
}


class STAMPWRIGHT_OT_render_picture(_Rendering, bpy.types.Operator):
    """Render the picture to a file; without one, the stamp is laid beside its impression first"""

    bl_idname = "stampwright.render_picture"
    bl_label = "Render Picture"

    __annotations__ = {
        **_FILE,
        "arrangement": EnumProperty(
            name="Arrangement", description="How the stamp is arranged where there is no picture yet", items=STILL
        ),
    }


class STAMPWRIGHT_OT_render_film(_Rendering, bpy.types.Operator):
    """Render the film to a video file, or to frames in a folder"""

    bl_idname = "stampwright.render_film"
    bl_label = "Render Film"
    __annotations__ = _FILE
    is_film = True


class STAMPWRIGHT_OT_use_materials(StampOperator, bpy.types.Operator):
    """Give the stamp's own parts the materials of its filaments, with the layers and lines of this printer"""

    bl_idname = "stampwright.use_materials"
    bl_label = "Use Filament Materials"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Set the first material of every part."""
        loading.load("mockup.staging").dress_parts(self.stamp(context), context.scene)


class STAMPWRIGHT_OT_remove_pictures(bpy.types.Operator):
    """Take all pictures away, with everything that was made for them"""

    bl_idname = "stampwright.remove_pictures"
    bl_label = "Remove Pictures"
    bl_options = {"REGISTER", "UNDO"}

    @classmethod
    def poll(cls, _context: Context) -> bool:
        """Ask for a picture."""
        if next(stage.pictures(), None) is not None:
            return True
        cls.poll_message_set(said("There are no pictures"))
        return False

    def execute(self, context: Context) -> set[str]:
        """Remove every picture of the file."""
        was_shown = stage.MARK in context.scene
        stage.strike(list(stage.pictures()))
        if was_shown and context.window is not None:
            views.look_as_before(context.window.screen)
        return {"FINISHED"}


def _built(root: Object) -> Any:
    """Return a stamp built from what is asked for now; one that is linked from another file is not touched by that."""
    if stamps.is_ours(root):
        return following.build_now(root)
    order = loading.load("building.orders").read_order(root, bpy.context.evaluated_depsgraph_get())
    return loading.load("building.making").make(order, benches.bench_of(root).memory)


def _show(context: Context, scene: Scene) -> None:
    """Show a picture in the window, through its camera."""
    if context.window is not None:
        # From one picture to another, what comes back is how the stamp's own scene was looked at.
        if stage.MARK not in context.window.scene:
            views.keep_looks(context.window.screen)
        context.window.scene = scene
        views.look_through_camera(context.window.screen)


CLASSES = (
    *(_arranging(each) for each in STILL),
    STAMPWRIGHT_OT_film_turntable,
    STAMPWRIGHT_OT_film_press,
    STAMPWRIGHT_OT_film_apart,
    STAMPWRIGHT_OT_estimate_picture,
    STAMPWRIGHT_OT_leave_picture,
    STAMPWRIGHT_OT_render_picture,
    STAMPWRIGHT_OT_render_film,
    STAMPWRIGHT_OT_use_materials,
    STAMPWRIGHT_OT_remove_pictures,
)
