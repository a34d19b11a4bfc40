"""What is shown otherwise than it is made is told: an empty that is scaled, or parts that were changed by hand."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import numpy as np

from ..scene.stamps import PARTS, is_put_away, is_sculptable, part_of
from ..stampwright.findings import Finding
from .benches import OtherPart, bench_of
from .results import SCALED

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object

    from ..stampwright.solids import Solid

BY_HAND = "part changed by hand"
"""Kind of finding."""

DELETED, DOUBLED = "part deleted", "part doubled"
"""Kinds of finding."""

EVEN = 1e-3
"""Share by which the scale of a stamp may be off one, or differ from side to side."""


def scale_of(root: Object) -> float | None:
    """Return by how much a stamp is shown larger than it is, or None when that is not the same on all sides."""
    matrix: Any = np.array(root.matrix_world, dtype=np.float64)[:3, :3]
    sizes = np.linalg.svd(matrix, compute_uv=False)
    is_even = sizes[0] - sizes[2] <= EVEN * sizes[0] and np.linalg.det(matrix) > 0.0
    return float(sizes.mean()) if is_even else None


def about_scale(root: Object) -> tuple[Finding, ...]:
    """Return what is to be said of how a stamp stands: nothing where it is shown as large as it is."""
    scale = scale_of(root)
    if scale is not None and abs(scale - 1.0) <= EVEN:
        return ()
    shown = "stretched or mirrored" if scale is None else f"at {scale:.3g} times its size"
    finding = Finding(
        kind=SCALED,
        severity="warns",
        stage="build",
        message=f"the empty of the stamp is scaled: it is shown {shown}, and made as the settings say",
        remedy="Apply Stamp Scale makes it that size, Alt+S shows its own",
    )
    return (finding,)


def about_parts(found: Iterable[OtherPart]) -> tuple[Finding, ...]:
    """Return what is to be said of parts that are not shown as the settings make them."""
    return tuple(_about_shown(each.name) if each.shown else _about_changed(each.name) for each in found)


def _about_changed(name: str) -> Finding:
    return Finding(
        kind=BY_HAND,
        severity="warns",
        stage="build",
        message=f"the {name} was changed by hand in the scene; files hold it as the settings make it",
        remedy="Build Stamp makes it anew",
    )


def _about_shown(name: str) -> Finding:
    return Finding(
        kind=BY_HAND,
        severity="warns",
        stage="build",
        message=f"modifiers, shape keys or constraints show another {name}; files hold it as the settings make it",
        remedy="Take them off, or write what is seen with File, Export",
    )


def about_parts_there(root: Object) -> tuple[Finding, ...]:
    """Return what is to be said of parts that were made and are in the scene no more, or more than once."""
    stamp = bench_of(root).stamp
    if stamp is None:
        return ()
    there = [child.stampwright.role for child in root.children if child.users_collection and not is_put_away(child)]
    doubled = (
        Finding(
            kind=DOUBLED,
            severity="warns",
            stage="build",
            message=f"the {name} is in the scene more than once; only one of them follows the stamp",
            remedy="Delete the copy, or keep it apart with Object, Parent, Clear Parent",
        )
        for name in PARTS
        if there.count(name) > 1
    )
    deleted = (
        Finding(
            kind=DELETED,
            severity="warns",
            stage="build",
            message=f"the {name} was deleted in the scene; files hold it all the same",
            remedy="Build Stamp brings it back",
        )
        for name in PARTS
        if getattr(stamp, name) is not None and name not in there
    )
    return (*doubled, *deleted)


def other_parts(root: Object, depsgraph: Depsgraph) -> tuple[OtherPart, ...]:
    """Return the parts of a stamp that were scaled, or their points moved, since they were shown, or look otherwise."""
    bench, found = bench_of(root), []
    for name in PARTS:
        child, (solid, scale_length) = part_of(root, name), bench.shown.get(name, (None, 0.0))
        if child is None or child.type != "MESH" or solid is None or child.mode != "OBJECT" or child.data.is_editmode:
            continue
        # A sculpted or textured face has points of its own, which are read back.
        has_own_points = name == "die" and (is_sculptable(root) or bench.stamp is None or bench.stamp.face is not None)
        is_same = has_own_points or _shows(child.data, solid, 1000.0 * scale_length)
        if not is_same or not _is_true(child.matrix_parent_inverse @ child.matrix_basis):
            found.append(OtherPart(name, shown=False))
        elif _looks_other(root, child, depsgraph):
            found.append(OtherPart(name, shown=True))
    return tuple(found)


def _is_true(matrix: Any) -> bool:
    """Whether a matrix only moves and turns."""
    turn = np.array(matrix, dtype=np.float64)[:3, :3]
    return bool(np.allclose(turn @ turn.T, np.eye(3), atol=2 * EVEN) and np.linalg.det(turn) > 0.0)


def _looks_other(root: Object, child: Object, depsgraph: Depsgraph) -> bool:
    """Whether a part is seen in another size or form than its mesh has, by what hangs on it."""
    if any(not each.mute for each in child.constraints) and not _is_true(
        root.matrix_world.inverted_safe() @ child.matrix_world
    ):
        return True
    shaped = [each for each in child.modifiers if each.show_viewport and each.type != "EDGE_SPLIT"]
    if not shaped and child.data.shape_keys is None:
        return False
    seen = child.evaluated_get(depsgraph)
    if not seen.is_evaluated or seen.type != "MESH":
        return False
    own, other = _places(child.data), _places(seen.data)
    return own.shape != other.shape or not np.allclose(own, other, rtol=0.0, atol=EVEN * float(np.ptp(own)))


def _places(mesh: Any) -> np.ndarray:
    places = np.empty(3 * len(mesh.vertices), dtype=np.float32)
    mesh.vertices.foreach_get("co", places)
    return places


def _shows(mesh: Any, solid: Solid, millimetres: float) -> bool:
    """Whether a mesh has a solid's points where they were written; ``millimetres``: to one of its units."""
    if len(mesh.vertices) != len(solid.vertices):
        return False
    places = np.empty(3 * len(mesh.vertices), dtype=np.float32)
    mesh.attributes["position"].data.foreach_get("vector", places)
    written = np.asarray(solid.vertices / millimetres, dtype=np.float32).ravel()
    return bool(np.allclose(places, written, rtol=0.0, atol=1e-3 / millimetres))
