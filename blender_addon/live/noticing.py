"""Noticing: what Blender tells of edits, undoing, opening, rendering and saving goes to the stamps that it concerns."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
from bpy.app.handlers import persistent

from .. import loading
from ..building import benches
from ..job import changes
from ..job.naming import heed_name
from ..job.old_files import read_all_over
from ..job.settings import copy_settings
from ..mockup import timing
from ..scene import stamps
from ..scene.images import picture_on, read_pictures_again
from ..stampwright.errors import StampwrightError
from . import following, pacing, scheduler

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object, Scene

STROKE = 0.6
"""Seconds after a stroke on a face before it is taken up, so that the next stroke is not kept waiting."""

PAINTED = 0.3
"""Seconds after another colour of a material before it is looked at whether the art is seen otherwise by it."""

_seen = {"scale": 1.0}
"""The unit scale of the scene that was edited last."""


@persistent
def _edited(scene: Scene, depsgraph: Depsgraph) -> None:
    """Note the stamps whose artwork or outlines an edit has touched; the host calls this after every edit."""
    if following.is_heedless():
        return
    scale = scene.unit_settings.scale_length
    if scale != _seen["scale"]:
        _seen["scale"] = scale
        following.look_again()
        return
    touched = _touched_by(scene, depsgraph)
    for root, delay in touched:
        following.mark(root, delay)
    if touched:
        pacing.drawing_begins()


@persistent
def _frame_changed(scene: Scene, depsgraph: Depsgraph) -> None:
    """Note the stamps that another frame changes: their settings are animated or driven, or their artwork moves.

    While rendering they are built at once, where the host lets the scene be changed then.
    """
    if changes.is_quiet():
        return
    touched = dict(_touched_by(scene, depsgraph))
    moved = [root for root in stamps.stamps_in(scene) if root in touched or _is_driven(root)]
    if not scheduler.is_paused():
        for root in moved:
            following.mark(root)
    elif bpy.app.background or scene.render.use_lock_interface:
        for root in moved:
            if _is_driven(root):
                # While rendering, the host tells only its copies what is animated.
                with changes.quiet():
                    copy_settings(root.evaluated_get(depsgraph).stampwright, root.stampwright)
            following.build_quietly(root, depsgraph)


def _touched_by(scene: Scene, depsgraph: Depsgraph) -> list[tuple[Object, float]]:
    """Return the stamps that what the host has updated may concern, and how long each can wait, seconds."""
    touched = {each.id.original: _is_shaped(each) for each in depsgraph.updates}
    shaped = {each for each, is_shaped in touched.items() if is_shaped}
    painted = {each for each in touched if isinstance(each, bpy.types.Material)}
    found = []
    for root in stamps.stamps_in(scene) if touched else ():
        heed_name(root)
        is_moved = root in touched and (_is_driven(root) or _is_scaled(root))
        if painted and not painted.isdisjoint(_materials_of(root)):
            found.append((root, PAINTED))
        is_other = is_moved or _is_elsewhere(root, depsgraph) or _is_by_hand(root, shaped, depsgraph)
        is_other = is_other or _is_free_again(root)
        if is_other or not _is_known(root) or not shaped.isdisjoint(_watched(root)):
            found.append((root, 0.0))
        elif not touched.keys().isdisjoint(_brushed(root)):
            found.append((root, STROKE if _brushed(root)[0].mode == "SCULPT" else 0.0))
    return found


def _is_scaled(root: Object) -> bool:
    """Whether a stamp has another scale than when it was last read."""
    bench = benches.bench_at(root.session_uid)
    return bench is not None and bool(bench.stood_at) and bench.stood_at != tuple(root.matrix_world.to_scale())


def _is_elsewhere(root: Object, depsgraph: Depsgraph) -> bool:
    """Whether what a stamp is drawn with was deleted, excluded or brought back since it was last read."""
    bench = benches.bench_at(root.session_uid)
    return (
        bench is not None
        and bench.read_last is not None
        and bench.there != stamps.are_there(root, depsgraph.view_layer)
    )


def _is_by_hand(root: Object, shaped: set[Any], depsgraph: Depsgraph) -> bool:
    """Whether parts of a stamp were changed by hand since it was last read, or are again as they were."""
    bench = benches.bench_at(root.session_uid)
    if bench is None or bench.read_last is None or shaped.isdisjoint(root.children):
        return False
    return bool(bench.by_hand != loading.load("building.scaling").other_parts(root, depsgraph))


def _is_free_again(root: Object) -> bool:
    """Whether a stamp that could not be built, a part being in edit mode, can be now."""
    bench = benches.bench_at(root.session_uid)
    return bench is not None and bench.is_held_up and stamps.edited_part(root) is None


def _is_driven(root: Object) -> bool:
    """Whether settings of a stamp are animated or driven."""
    held = root.animation_data
    return held is not None and (held.action is not None or len(held.drivers) > 0 or len(held.nla_tracks) > 0)


def _is_known(root: Object) -> bool:
    """Whether a stamp has been looked at before; a copy, or one from another file, has not."""
    return benches.bench_at(root.session_uid) is not None


def _is_shaped(update: Any) -> bool:
    """Whether an edit may change what is drawn: a shape, a place, or what pixels and textures look like."""
    is_grey = isinstance(update.id, bpy.types.Image | bpy.types.Texture)
    return bool(update.is_updated_geometry or update.is_updated_transform or is_grey)


def _brushed(root: Object) -> list[Any]:
    """Return the die of a stamp whose face is sculpted, and its mesh; strokes change neither shape, says the host."""
    die = stamps.part_of(root, "die") if stamps.is_sculptable(root) else None
    return [] if die is None else [die, die.data]


def _watched(root: Object) -> set[Any]:
    """Return everything whose edit changes what a stamp is made from."""
    watched: set[Any] = set()
    for drawn in stamps.drawn_by(root):
        for each in (drawn, *_instanced_by(drawn)):
            watched.add(each)
            watched.add(each.data)
            if each.type == "MESH":
                watched.add(picture_on(each))
    watched.add(root.stampwright.face_image)
    watched.add(root.stampwright.face_texture)
    return watched


def _materials_of(root: Object) -> set[Any]:
    """Return the materials of everything that a stamp is drawn with."""
    drawn = {inner for each in stamps.drawn_by(root) for inner in (each, *_instanced_by(each))}
    return {slot.material for each in drawn for slot in each.material_slots}


def _instanced_by(drawn: Object) -> list[Object]:
    """Return the objects that an object shows copies of, or in whose body it is shown."""
    if drawn.type == "META":
        return [each for scene in drawn.users_scene for each in loading.load("artwork.clouds").family_of(drawn, scene)]
    if drawn.instance_collection is not None:
        return list(drawn.instance_collection.all_objects)
    return [] if drawn.instance_type == "NONE" else list(drawn.children_recursive)


@persistent
def _undone(*_about: object) -> None:
    following.stop_all()
    benches.forget_shown()
    # The host keeps what it has read of an image through undoing.
    read_pictures_again(stamps.all_stamps())
    following.look_again()


@persistent
def _opened(*_about: object) -> None:
    following.halt()
    benches.clear_benches()
    read_all_over()
    following.look_again(delay=0.5)


@persistent
def _render_begins(*_about: object) -> None:
    scheduler.pause()
    timing.started()


@persistent
def _render_ends(*_about: object) -> None:
    timing.ended()
    scheduler.go_on()
    following.look_again()


@persistent
def _render_given_up(*_about: object) -> None:
    timing.given_up()
    _render_ends()


@persistent
def _about_to_save(*_about: object) -> None:
    """Take strokes that were not read yet into the sculpts, so that the file holds them."""
    for root in stamps.all_stamps():
        if stamps.is_sculptable(root) and stamps.is_ours(root):
            try:
                loading.load("building.orders").keep_strokes(root)
            except StampwrightError as error:
                following.say(root, str(error))


_HANDLERS = {
    "save_pre": _about_to_save,
    "depsgraph_update_post": _edited,
    "frame_change_post": _frame_changed,
    "undo_post": _undone,
    "redo_post": _undone,
    "load_post": _opened,
    "render_init": _render_begins,
    "render_complete": _render_ends,
    "render_cancel": _render_given_up,
}


def register() -> None:
    """Enter the handlers."""
    for name, handler in _HANDLERS.items():
        getattr(bpy.app.handlers, name).append(handler)
    if not bpy.app.background:
        # The file that is open may hold stamps, also edited ones; while extensions register it is out of reach.
        bpy.app.timers.register(_opened)


def unregister() -> None:
    """Take the handlers back, and have nothing built any more."""
    for name, handler in _HANDLERS.items():
        held = getattr(bpy.app.handlers, name)
        if handler in held:
            held.remove(handler)
    if bpy.app.timers.is_registered(_opened):
        bpy.app.timers.unregister(_opened)
    following.halt()
