"""The die's mesh as the surface that brushes work on: what they may move is set apart, and what they moved is read.

All that reading takes is kept on the mesh: where each point was written, which set each triangle belongs to, the grain
and the sculpt that it was written with. So a die can be read after undo, after reopening and in another file, whatever
has become of the settings and the artwork since.
"""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

from ..scene.parts import CORNERS, FIELDS, PLACES, write_values
from ..scene.stamps import SCULPT, part_of
from ..scene.units import mm_per_unit
from ..stampwright.errors import StampwrightError
from ..stampwright.face import FACE, DenseDie, Sculpt, read_sculpt
from ..stampwright.solids import Solid
from .keeping import GRAIN, keep_map, kept_map

if TYPE_CHECKING:
    from bpy.types import Mesh, Object, Scene

MASK, FACE_SETS = ".sculpt_mask", ".sculpt_face_set"
"""The host's own attributes of what sculpt mode protects, and of the sets that it hides and masks by."""

WRITTEN, SETS = "stampwright_written", "stampwright_set"
"""Attributes of ours: where each point was written, and the set that each triangle belongs to."""

ABOUT = "stampwright_face"
"""Property of the mesh: the face's settings as JSON, and how many points and triangles it has."""


def bear(die: Object, dense: DenseDie, scene: Scene) -> None:
    """Make a die's mesh, on which ``dense`` has just been written, the one that is sculpted on.

    Mask and face sets that are on it stay, but for what must be protected.
    """
    mesh = die.data
    places = _places_of(dense, scene)
    mask = (~dense.movable).astype(np.float32)
    if MASK in mesh.attributes:
        mask = np.maximum(mask, _read(mesh, MASK, len(places), np.float32))
    write_values(mesh, MASK, "FLOAT", "POINT", mask)
    if FACE_SETS not in mesh.attributes:
        # The host leaves face set 0 out.
        write_values(mesh, FACE_SETS, "INT", "FACE", dense.sets.astype(np.int32) + 1)
    write_values(mesh, SETS, "INT", "FACE", dense.sets.astype(np.int32))
    write_values(mesh, WRITTEN, "FLOAT_VECTOR", "POINT", places)
    mesh[ABOUT] = _about(dense, scene)
    keep_map(mesh, GRAIN, dense.grain)
    keep_map(mesh, SCULPT, dense.sculpt)


def forget(die: Object) -> None:
    """Have a die's mesh not read any more, whatever was sculpted on it since it was read last."""
    if ABOUT in die.data:
        del die.data[ABOUT]


def release(die: Object) -> None:
    """Make a die's mesh one that is not sculpted on."""
    forget(die)
    # A mask on a die that was never sculpted is the user's own.
    ours = (MASK, FACE_SETS, SETS, WRITTEN) if SETS in die.data.attributes else ()
    for name in ours:
        attribute = die.data.attributes.get(name)
        if attribute is not None:
            die.data.attributes.remove(attribute)
    keep_map(die.data, GRAIN, None)
    keep_map(die.data, SCULPT, None)


def read_back(root: Object, last: str) -> tuple[str, Sculpt | None]:
    """Take what brushes have moved into the stamp's sculpt; return what was read, or None when that was nothing new.

    The fingerprint of where the points are comes back with it. ``last``: the one that came back before, or nothing when
    that is not known, as after undo: then the sculpt is brought to the mesh in any case. What is protected counts as
    unmoved, however it was moved. Raises :class:`StampwrightError` when the mesh has other points than were written.
    """
    die = part_of(root, "die")
    if SCULPT not in root or die is None or ABOUT not in die.data:
        return "", None
    about = json.loads(die.data[ABOUT])
    _check_points(die, about)
    present, written = _places(die.data), _written(die.data)
    mark = _mark_of_places(present)
    if mark == last:
        return mark, None
    moved = (present != written).any(axis=1)
    if not last and not moved.any():
        keep_map(root, SCULPT, kept_map(die.data, SCULPT))
        return mark, None
    dense = _dense_on(die, about)
    moved &= dense.movable & np.isfinite(present).all(axis=1)
    vertices = dense.solid.vertices.copy()
    vertices[moved] = present[moved].astype(np.float64) * about["unit"]
    sculpt = read_sculpt(dense, vertices)
    keep_map(root, SCULPT, sculpt.map)
    return mark, sculpt


def is_moved(die: Object, last: str) -> bool:
    """Whether brushes have moved a die's points since they were read last, or written if that is not known."""
    if ABOUT not in die.data:
        return False
    return _mark_of_places(_places(die.data)) != (last or _mark_of_places(_written(die.data)))


def has_form(die: Object, dense: DenseDie, scene: Scene) -> bool:
    """Whether a die's mesh was written from this dense die, or from one that differs in its sculpt alone."""
    mesh = die.data
    if mesh.get(ABOUT) != _about(dense, scene) or not np.array_equal(_triangles(mesh), dense.solid.triangles):
        return False
    written, places, still = _written(mesh), _places_of(dense, scene), ~dense.movable
    same_places = np.array_equal(written[:, :2], places[:, :2]) and np.array_equal(written[still], places[still])
    return same_places and kept_map(die.data, GRAIN) == dense.grain


def _check_points(die: Object, about: Any) -> None:
    mesh = die.data
    is_other = len(mesh.vertices) != about["points"] or len(mesh.loops) != 3 * about["triangles"]
    if is_other or WRITTEN not in mesh.attributes or die.use_dynamic_topology_sculpting:
        raise StampwrightError(
            f"Points were added to {die.name} or taken away, as by dynamic topology or remeshing, so that its sculpt "
            "cannot be read: undo that, or clear the sculpt, keeping what was read; brushes may only move points"
        )
    if any(isinstance(each, bpy.types.MultiresModifier) and each.total_levels for each in die.modifiers):
        raise StampwrightError(
            f"{die.name} has levels of a Multiresolution modifier, and strokes on those cannot be read: remove the "
            "modifier; the face's fineness makes points closer"
        )


def _about(dense: DenseDie, scene: Scene) -> str:
    settings = {"top": dense.top, "depth": dense.depth, "floor": dense.floor, "spacing": dense.spacing}
    counts = {"points": len(dense.solid.vertices), "triangles": len(dense.solid.triangles), "squares": dense.squares}
    return json.dumps(
        {name: float(value) for name, value in settings.items()}
        | {name: int(value) for name, value in counts.items()}
        | {"unit": mm_per_unit(scene)}
    )


def _dense_on(die: Object, about: Any) -> DenseDie:
    """Return the dense die that a mesh was written from."""
    triangles = _triangles(die.data)
    sets = _read(die.data, SETS, about["triangles"], np.int32)
    movable = np.zeros(about["points"], dtype=bool)
    movable[triangles[sets == FACE]] = True
    return DenseDie(
        solid=Solid("die", _written(die.data).astype(np.float64) * about["unit"], triangles),
        movable=movable,
        sets=sets.astype(np.int8),
        squares=about["squares"],
        spacing=about["spacing"],
        top=about["top"],
        depth=about["depth"],
        floor=about["floor"],
        grain=kept_map(die.data, GRAIN),
        sculpt=kept_map(die.data, SCULPT),
    )


def _places_of(dense: DenseDie, scene: Scene) -> Any:
    """Return where a dense die's points lie in its mesh, (n, 3) float32, Blender units."""
    return (dense.solid.vertices / mm_per_unit(scene)).astype(np.float32)


def _places(mesh: Mesh) -> Any:
    return _read(mesh, PLACES, 3 * len(mesh.vertices), np.float32).reshape(-1, 3)


def _written(mesh: Mesh) -> Any:
    return _read(mesh, WRITTEN, 3 * len(mesh.vertices), np.float32).reshape(-1, 3)


def _mark_of_places(places: Any) -> str:
    return hashlib.blake2b(places.tobytes(), digest_size=12).hexdigest()


def _triangles(mesh: Mesh) -> Any:
    return _read(mesh, CORNERS, len(mesh.loops), np.int32).reshape(-1, 3)


def _read(mesh: Mesh, name: str, count: int, kind: Any) -> Any:
    values = np.empty(count, dtype=kind)
    attribute = mesh.attributes[name]
    attribute.data.foreach_get(FIELDS.get(attribute.data_type, "value"), values)
    return values
