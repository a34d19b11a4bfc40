"""Bringing the scene up to what was made; what has not changed is left alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..mockup.scenery.viewport import colour_parts
from ..scene.impression import place_sheet, show_impression
from ..scene.parts import HEIGHT, OUTWARDS, REGION, pose_parts, remove_values, show_part, write_values
from ..scene.register import show_gauge, take_away_proof
from ..scene.stamps import GAUGE, PAPER, PARTS, edited_part, is_in_scene, part_of
from ..sculpting.face import may_write, show_face
from ..stampwright.face import DenseDie
from ..stampwright.inks import in_printing_order
from ..stampwright.memory import Memory
from ..stampwright.parts import mark_regions
from ..stampwright.solids import Solid
from ..stampwright.stamp import Stamp
from .benches import bench_of
from .making import dense_in, draft_of, parts_in, picture_of
from .orders import BuildOrder
from .plates import gauge_in

if TYPE_CHECKING:
    from bpy.types import Object, Scene


def show_parts(root: Object, memory: Memory, scene: Scene) -> None:
    """Bring the parts to what was last made of them, before the rest of the stamp is there."""
    # Until all of it is shown, the scene is up to nothing.
    root.stampwright.built = ""
    _show_parts(root, parts_in(memory), dense_in(memory), scene)


def show(root: Object, order: BuildOrder, stamp: Stamp, scene: Scene, *, draft: bool = False) -> None:
    """Bring the scene up to a stamp; what has not changed is left alone.

    ``draft``: its sheet is shown small, which is read and drawn in a fraction of the time, and is no more than a stay:
    the scene is then up to nothing.
    """
    held, bench = root.stampwright, bench_of(root)
    # A file that was opened, or a step that was undone, may hold just this stamp already.
    is_there = held.built == order.shows
    dense = stamp.face.dense if stamp.face is not None and stamp.bend is None else None
    solids = {name: getattr(stamp, name) for name in PARTS}
    is_whole = _show_parts(root, solids, dense, scene, is_there=is_there)
    pose_parts(root, stamp, scene)
    _show_gauge(root, order, scene)
    _tell_regions(root, stamp, dense)
    pressed = (stamp.impression, held.paper, scene.unit_settings.scale_length, draft)
    is_missing = held.paper and not is_in_scene(root, PAPER)
    if is_missing or (bench.shown.get("impression") != pressed and not is_there):
        show_impression(root, stamp, draft_of(stamp) if draft else picture_of(stamp, bench.memory), scene)
        # Pressing lays no other sheet over it unless it has another.
        bench.shown["sheet"] = (stamp.impression, pressed)
    bench.shown["impression"] = pressed
    place_sheet(root, stamp, scene)
    if edited_part(root) is not None:
        # Whatever was left as it is will be shown once that is over.
        bench.is_held_up, is_whole = True, False
        bench.shown.clear()
    bench.stamp, bench.fingerprint, bench.shows = stamp, order.fingerprint, order.shows
    bench.message, bench.is_behind = "", False
    if not is_there:
        held.built = order.shows if is_whole and not draft else ""


def _show_gauge(root: Object, order: BuildOrder, scene: Scene) -> None:
    """Bring the gauge to that of the stamp's set, under the stamp that is printed first; others have none."""
    leads = bool(order.inks) and in_printing_order(order.inks)[0].name == order.plate
    gauge = gauge_in(bench_of(root).memory) if leads else None
    if gauge is not None or part_of(root, GAUGE) is not None:
        show_gauge(root, gauge, scene)
    if not leads:
        take_away_proof(root)


def _tell_regions(root: Object, stamp: Stamp, dense: DenseDie | None) -> None:
    """Write on the die's mesh what each face belongs to and how high each point lies, for what goes on from there."""
    bench, die = bench_of(root), part_of(root, "die")
    if die is None or bench.shown.get("regions") is stamp.die or die.mode != "OBJECT" or die.data.is_editmode:
        return
    if die.data.library is not None:
        # Another file's mesh that shows just this die already bears them.
        return
    if len(die.data.vertices) != len(stamp.die.vertices):
        remove_values(die.data, REGION, HEIGHT, OUTWARDS)
        return
    marked = mark_regions(stamp.job, stamp.die, None if dense is None else dense.sets, stamp.bend)
    write_values(die.data, REGION, "INT", "FACE", marked.regions)
    write_values(die.data, HEIGHT, "FLOAT", "POINT", marked.heights)
    if marked.outwards is None:
        remove_values(die.data, OUTWARDS)
    else:
        write_values(die.data, OUTWARDS, "FLOAT_VECTOR", "POINT", marked.outwards)
    bench.shown["regions"] = stamp.die


def _show_parts(
    root: Object, solids: dict[str, Solid | None], dense: DenseDie | None, scene: Scene, *, is_there: bool = False
) -> bool:
    """Bring all parts to solids; return whether they show them now: a die may have strokes on it that stay.

    ``dense``: the die again, if its face is textured. With ``is_there`` the meshes hold just these solids already.
    """
    bench, is_whole = bench_of(root), True
    for name, solid in solids.items():
        key = (solid, scene.unit_settings.scale_length)
        # What was deleted comes back.
        is_missing = solid is not None and not is_in_scene(root, name)
        if is_missing or (bench.shown.get(name, ()) != key and not is_there):
            child = part_of(root, name)
            is_edited = child is not None and child.data.is_editmode
            if is_edited or (name == "die" and not may_write(root, dense, bench.read, scene)):
                is_whole = False
                continue
            show_part(root, name, solid, scene)
            colour_parts(root)
            if name == "die":
                show_face(root, dense, scene)
                bench.read = ""
        bench.shown[name] = key
    return is_whole
