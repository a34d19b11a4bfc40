"""Building a stamp: what is asked for is read from the scene, the core makes it, and the scene is brought up to it."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

from .bridge.impression import show_impression
from .bridge.own_curves import own_points
from .bridge.parts import pose_parts, show_part
from .bridge.reading import read_shapes
from .bridge.units import mm_per_unit
from .figures import read_figures
from .properties import job_from_values
from .sculpting.face import Face, may_write, read_face, show_face
from .sculpting.keeping import keep_map
from .sculpting.surface import forget, read_back
from .stamps import PARTS, SCULPT, part_of
from .stampwright.artwork import Artwork, read_artwork
from .stampwright.artwork.drawn import Shape
from .stampwright.artwork.made import make_artwork
from .stampwright.errors import ArtworkError, JobError
from .stampwright.face import DenseDie, FaceMap
from .stampwright.findings import Finding, by_severity
from .stampwright.job import Job
from .stampwright.job.files import job_as_json
from .stampwright.job.pieces import with_files
from .stampwright.memory import Memory
from .stampwright.output.pictures.png import png_bytes
from .stampwright.solids import Solid
from .stampwright.stamp import Stamp
from .stampwright.workshop import draw_for, fitted_size, make_stamp

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object, Scene

SPLINE_TOLERANCE = 1e-5
"""How far a B-spline may stray from its straight pieces, as a share of the drawing's size."""

Progress = Callable[[str, float], None]


@dataclass(frozen=True)
class Order:
    """All that a stamp is made from, read from the scene; nothing of it belongs to Blender any more.

    ``mark`` says in a few letters what the artwork comes from, and ``fingerprint`` what all does. ``settled``: what was
    found when the sculpt of the face was read last.
    """

    job: Job
    shapes: tuple[Shape, ...]
    file: Path | None
    mark: str
    face: Face
    settled: tuple[Finding, ...]
    fingerprint: str


@dataclass
class Bench:
    """What is known about one stamp while the program runs: what was made, from what, and what stood against it."""

    memory: Memory = field(default_factory=Memory)
    stamp: Stamp | None = None
    fingerprint: str = ""
    shown: dict[str, Any] = field(default_factory=dict)
    settled: tuple[Finding, ...] = ()
    read: str = ""
    message: str = ""


_BENCHES: dict[int, Bench] = {}


def bench_of(root: Object) -> Bench:
    """Return what is known about a stamp."""
    return _BENCHES.setdefault(root.session_uid, Bench())


def bench_at(number: int) -> Bench | None:
    """Return what is known about the stamp with a session number, or None."""
    return _BENCHES.get(number)


def clear_benches() -> None:
    """Forget all stamps, as when another file is opened."""
    _BENCHES.clear()


def read_order(root: Object, depsgraph: Depsgraph) -> Order:
    """Return what a stamp is to be made from; raises :class:`StampwrightError` when that is not clear.

    What brushes have moved on its die is taken into its sculpt first.
    """
    held = root.stampwright
    keep_strokes(root)
    job = _job_with_curves(held, depsgraph)
    sources = [source for source in held.sources if source.object is not None]
    shapes = tuple(shape for source in sources for shape in _drawn_by(source, depsgraph))
    file = Path(bpy.path.abspath(held.artwork_file)) if held.artwork_file and not sources else None
    mark = hashlib.blake2b(digest_size=12)
    for shape in shapes:
        _add_to(mark, shape)
    if file is not None:
        mark.update(f"{file} {_stamped(file)}".encode())
    face = read_face(root, job)
    shown_as = f"{held.standing} {held.paper} {depsgraph.scene.unit_settings.scale_length:.7g}"
    made_of = f"{mark.hexdigest()} {face.mark} {job_as_json(job)}"
    everything = hashlib.blake2b(f"{made_of} {shown_as}".encode(), digest_size=12)
    return Order(job, shapes, file, mark.hexdigest(), face, bench_of(root).settled, everything.hexdigest())


def keep_strokes(root: Object) -> None:
    """Take what brushes have moved on a stamp's die into its sculpt; raises :class:`StampwrightError`."""
    bench = bench_of(root)
    bench.read, read = read_back(root, bench.read)
    if read is not None:
        bench.settled = read.findings
        # The die does not show the sculpt as it was settled: it is written anew, whatever it was made from.
        bench.shown.pop("die", None)
        root.stampwright.built = ""


def set_sculpt(root: Object, sculpt: FaceMap | None) -> None:
    """Give a stamp's face a sculpt, or none, in place of its own and of what brushes have moved since."""
    die = part_of(root, "die")
    if die is not None:
        forget(die)
    keep_map(root, SCULPT, sculpt)
    bench = bench_of(root)
    bench.settled = ()
    bench.shown.pop("die", None)


def make(order: Order, memory: Memory, progress: Progress | None = None) -> Stamp:
    """Make the stamp of an order; touches nothing of Blender's, so that it may run beside it.

    Raises :class:`StampwrightError`, and whatever ``progress`` raises.
    """
    job = order.job
    if progress is not None:
        progress("reading", 0.0)
    made_from = (order.mark, job.name, job.layout, job.base, job.printer, job.tracing, job.pieces)
    artwork = memory.recall("artwork", made_from, lambda: _artwork_for(order))
    face = order.face
    is_textured = job.face.texture != "none" or bool(job.face.sculpt) or face.sculpt is not None
    memory.recall("textured", (is_textured,), lambda: is_textured)
    stamp = make_stamp(job, artwork, sculpt=face.sculpt, picture=face.picture, progress=progress, memory=memory)
    if order.settled:
        stamp = replace(stamp, findings=by_severity((*stamp.findings, *order.settled)))
    _picture_of(stamp, memory)
    return stamp


def parts_in(memory: Memory) -> dict[str, Solid | None]:
    """Return the parts that were made last, by name; None for what was not."""
    handle, _ = memory.last("handle") or (None, ())
    dense = _dense_in(memory)
    die = memory.last("die") if dense is None else dense.solid
    return {**{name: memory.last(name) for name in PARTS}, "handle": handle, "die": die}


def show_parts(root: Object, memory: Memory, scene: Scene) -> None:
    """Bring the parts to what was last made of them, before the rest of the stamp is there."""
    # Until all of it is shown, the scene is up to nothing.
    root.stampwright.built = ""
    _show_parts(root, parts_in(memory), _dense_in(memory), scene)


def show(root: Object, order: Order, stamp: Stamp, scene: Scene) -> None:
    """Bring the scene up to a stamp; what has not changed is left alone."""
    held, bench = root.stampwright, bench_of(root)
    # A file that was opened, or a step that was undone, may hold just this stamp already.
    is_there = held.built == order.fingerprint
    dense = stamp.face.dense if stamp.face is not None else None
    solids = {name: getattr(stamp, name) for name in PARTS}
    is_whole = _show_parts(root, solids, dense, scene, is_there=is_there)
    pose_parts(root, stamp, scene)
    pressed = (stamp.impression, held.paper, scene.unit_settings.scale_length)
    if bench.shown.get("impression") != pressed and not is_there:
        show_impression(root, stamp, _picture_of(stamp, bench.memory), scene)
    bench.shown["impression"] = pressed
    bench.stamp, bench.fingerprint, bench.message = stamp, order.fingerprint, ""
    if not is_there:
        held.built = order.fingerprint if is_whole else ""


def forget_shown() -> None:
    """Forget what the meshes show, as when undoing has changed them; what was made is kept."""
    for bench in _BENCHES.values():
        bench.shown.clear()
        bench.read = ""


def _show_parts(
    root: Object, solids: dict[str, Solid | None], dense: DenseDie | None, scene: Scene, *, is_there: bool = False
) -> bool:
    """Bring all parts to solids; return whether they show them now: a die may have strokes on it that stay.

    ``dense``: the die again, if its face is textured. With ``is_there`` the meshes hold just these solids already.
    """
    bench, is_whole = bench_of(root), True
    for name, solid in solids.items():
        key = (solid, scene.unit_settings.scale_length)
        if bench.shown.get(name, ()) != key and not is_there:
            if name == "die" and not may_write(root, dense, bench.read, scene):
                is_whole = False
                continue
            show_part(root, name, solid, scene)
            if name == "die":
                show_face(root, dense, scene)
                bench.read = ""
        bench.shown[name] = key
    return is_whole


def _dense_in(memory: Memory) -> DenseDie | None:
    """Return the die with a textured face that was made last, or None when the last one had a plain face."""
    dense: DenseDie | None = memory.last("face") if memory.last("textured") else None
    return dense


def read_file(path: Path) -> Any:
    """Return the ink in an artwork file, mm; raises :class:`ArtworkError`."""
    return read_artwork(path).inked


def _picture_of(stamp: Stamp, memory: Memory) -> bytes:
    """Return the picture of a stamp's impression as a file, which is packed away from Blender."""
    pressed = stamp.impression
    return memory.recall("picture", (pressed,), lambda: png_bytes(pressed.picture, dpi=pressed.dpi))


def _job_with_curves(held: Any, depsgraph: Depsgraph) -> Job:
    values = read_figures(held) | own_points(held, depsgraph)
    wanted = {
        "base.points": (held.base.outline == "custom", "the base"),
        "handle.profile": (held.handle.form == "turned", "the handle's profile"),
        "handle.outline": (held.handle.form == "straight", "the handle's outline"),
    }
    for path, (used, what) in wanted.items():
        if used and not values[path]:
            raise JobError(f"Pick a curve for {what}")
    # Files that face and pieces name are looked for beside the scene's own.
    folder = Path(bpy.path.abspath("//")) if bpy.data.filepath else Path.home()
    for path in ("face.picture", "face.sculpt"):
        values[path] = values[path] and str(folder / bpy.path.abspath(values[path]))
    job = job_from_values(values, held)
    return replace(job, pieces=with_files(job.pieces, lambda file: str(folder / file)))


def _artwork_for(order: Order) -> Artwork:
    job = order.job
    if order.shapes:
        return draw_for(job, order.shapes, name=job.name)
    if order.file is not None:
        return read_artwork(order.file, fitted_to=fitted_size(job), tracing=job.tracing)
    if job.pieces:
        return make_artwork(job.pieces, name=job.name, fitted_to=fitted_size(job))
    raise ArtworkError("There is no artwork: add a curve, a text or a flat mesh, or choose a file")


def _drawn_by(source: Any, depsgraph: Depsgraph) -> list[Shape]:
    shapes = read_shapes(source, depsgraph, _fineness(source.object, depsgraph))
    return shapes if source.textured else [replace(shape, plain=True) for shape in shapes]


def _fineness(drawn: Object, depsgraph: Depsgraph) -> float:
    seen = drawn.evaluated_get(depsgraph)
    return max(max(seen.dimensions) * mm_per_unit(depsgraph.scene), 1e-6) * SPLINE_TOLERANCE


def _add_to(mark: Any, shape: Shape) -> None:
    """Add all that a shape is to a fingerprint."""
    for value in vars(shape).values():
        for part in vars(value).values() if hasattr(value, "__dataclass_fields__") else (value,):
            mark.update(np.ascontiguousarray(part).tobytes() if isinstance(part, np.ndarray) else repr(part).encode())
    mark.update(type(shape).__name__.encode())


def _stamped(file: Path) -> tuple[int, int]:
    try:
        found = file.stat()
    except OSError:
        return (0, 0)
    return (found.st_mtime_ns, found.st_size)
