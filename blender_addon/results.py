"""What is known of a stamp while the program runs, for panels and overlay; loads nothing that is not loaded yet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .loading import building_if_loaded, what_is_missing

if TYPE_CHECKING:
    from bpy.types import Image, Object


def stamp_made(root: Object) -> Any:
    """Return the stamp as it was last made, or None."""
    bench = _bench(root)
    return bench.stamp if bench is not None else None


def findings_of(root: Object) -> tuple[Any, ...]:
    """Return what was found when the stamp was last made, the gravest first."""
    stamp = stamp_made(root)
    return stamp.findings if stamp is not None else ()


def can_repair(root: Object, finding: Any) -> bool:
    """Whether repair may take on one of a stamp's findings that it has not been let on to yet."""
    stamp = stamp_made(root)
    if stamp is None or stamp.job.preflight.repair:
        return False
    from .stampwright.preflight import can_mend  # noqa: PLC0415  (loaded: there is a stamp)

    return can_mend(stamp.job, finding)


def repair_of(root: Object) -> Any:
    """Return what repair did when the stamp was last made, or None when it did nothing."""
    stamp = stamp_made(root)
    done = stamp.repair if stamp is not None else None
    return done if done is not None and not (done.added.is_empty and done.removed.is_empty) else None


def message_of(root: Object) -> str:
    """Return what kept the stamp from being made when that was last tried, or nothing."""
    bench = _bench(root)
    return bench.message if bench is not None else what_is_missing()


def picture_on(sheet: Object) -> Image | None:
    """Return the image on a stamp's sheet, or None when its material has been changed to one without."""
    material = sheet.data.materials[0] if len(sheet.data.materials) else None
    if material is None or material.node_tree is None:
        return None
    return next((node.image for node in material.node_tree.nodes if node.type == "TEX_IMAGE"), None)


def _bench(root: Object) -> Any:
    building = building_if_loaded()
    return building.bench_of(root) if building is not None else None
