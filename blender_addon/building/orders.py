"""What a stamp is to be made from, read from the scene, with a fingerprint by which it is known again."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

from ..artwork.lines.own_curves import own_points
from ..artwork.lines.typesetting import TypeCut, is_set
from ..artwork.paints import paints_in
from ..artwork.reading import read_shapes
from ..job.inks import plate_ink, stamps_of_set
from ..job.properties import job_from_values
from ..job.settings import read_settings
from ..scene.overriding import is_override
from ..scene.stamps import SCULPT, are_there, edited_part, part_of
from ..sculpting.face import SculptedFace, read_face
from ..sculpting.keeping import keep_map
from ..sculpting.surface import forget, read_back
from ..stampwright.artwork.drawn import Shape
from ..stampwright.errors import ArtworkError, JobError, StampwrightError
from ..stampwright.face import FaceMap
from ..stampwright.findings import Finding
from ..stampwright.job import Job
from ..stampwright.job.inks import Ink, as_inks
from ..stampwright.job.pieces import files_in, with_files
from ..stampwright.job.written.files import job_as_json
from ..stampwright.memory import Fingerprint, fingerprint
from .benches import bench_of
from .scaling import about_parts, about_scale, other_parts

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object

MOST_APART = 20
"""Hundredths of its size by which text is set apart at most, as ways to pass have it."""


@dataclass(frozen=True)
class BuildOrder:
    """All that a stamp is made from, read from the scene; nothing of it belongs to Blender any more.

    ``files``: the fingerprints of all files that artwork is read from. ``mark`` says in a few letters what the artwork
    comes from, ``fingerprint`` what all does, and ``shows`` what the scene shows of it. ``noticed``: what was found as
    artwork and sculpt were read. ``cuts``: the shapes with text set otherwise, where that was asked for. ``paints``:
    colours of what shapes are painted with, by name. ``inks``: those of the set that the stamp belongs to, and
    ``plate``: which of them it prints; none for a stamp by itself.
    """

    job: Job
    shapes: tuple[Shape, ...]
    file: Path | None
    files: tuple[Fingerprint, ...]
    mark: str
    face: SculptedFace
    noticed: tuple[Finding, ...]
    fingerprint: str
    shows: str
    cuts: Mapping[TypeCut, tuple[Shape, ...]] = field(default_factory=dict)
    paints: tuple[tuple[str, str], ...] = ()
    inks: tuple[Ink, ...] = ()
    plate: str = ""


def read_order(root: Object, depsgraph: Depsgraph) -> BuildOrder:
    """Return what a stamp is to be made from; raises :class:`StampwrightError` when that is not clear.

    What brushes have moved on its die is taken into its sculpt first.
    """
    held, bench = root.stampwright, bench_of(root)
    _heed_edit_mode(root)
    keep_strokes(root)
    bench.stood_at = tuple(root.matrix_world.to_scale())
    bench.there = are_there(root, depsgraph.view_layer)
    bench.by_hand = other_parts(root, depsgraph)
    stands = (*about_scale(root), *about_parts(bench.by_hand))
    job = _job_with_curves(held, depsgraph)
    has_sources = any(source.object is not None for source in held.sources)
    shapes, said = _drawn_by(held, depsgraph)
    if has_sources and all(shape.left_out for shape in shapes):
        left_out = f"The {shapes[0].left_out} is left out. Show it, or tick it under Which Is Ink" if shapes else ""
        raise ArtworkError(f"There is no artwork: {left_out or f'{said[0].message}. {said[0].remedy}'}")
    file = Path(bpy.path.abspath(held.artwork_file)) if held.artwork_file and not has_sources else None
    mark = hashlib.blake2b(digest_size=12)
    for shape in shapes:
        _add_to(mark, shape)
    files = tuple(fingerprint(each) for each in (*files_in(job.pieces), *((file,) if file is not None else ())))
    mark.update(repr(files).encode())
    face = read_face(root, job)
    # What is as it was last read is handed on as the very same thing: as that the memory knows it again.
    last = bench.read_last
    shapes = last.shapes if last is not None and last.mark == mark.hexdigest() else shapes
    face = last.face if last is not None and last.face.mark == face.mark else face
    unit = depsgraph.scene.unit_settings.scale_length
    shown_as = f"{held.standing} {held.paper} {unit:.7g}"
    told = repr([each.message for each in (*said, *stands)])
    inks, paints = _inks_of(root, depsgraph), paints_in(shapes, job.ink.colour)
    made_of = f"{mark.hexdigest()} {face.mark} {job_as_json(job)} {inks} {held.plate.ink} {inks and paints}"
    noticed = (*said, *stands, *bench.settled)
    bench.read_last = BuildOrder(
        job,
        shapes,
        file,
        files,
        mark.hexdigest(),
        face,
        noticed,
        _digest(made_of, shown_as, told),
        _digest(made_of, shown_as),
        paints=paints,
        inks=inks,
        plate=held.plate.ink if inks else "",
    )
    return bench.read_last


def _heed_edit_mode(root: Object) -> None:
    """Raise :class:`StampwrightError` while a part is in edit mode, and have it noticed when that is over."""
    edited = edited_part(root)
    bench_of(root).is_held_up = edited is not None
    if edited is not None:
        raise StampwrightError(f"{edited.name} is in edit mode: leave that, and the stamp follows")


def _digest(*texts: str) -> str:
    return hashlib.blake2b(" ".join(texts).encode(), digest_size=12).hexdigest()


def with_cuts(order: BuildOrder, root: Object, depsgraph: Depsgraph) -> BuildOrder:
    """Return an order with its text drawn in all cuts in which it may be set; without text it stays as it is.

    Raises :class:`StampwrightError`.
    """
    held = root.stampwright
    if not any(source.object is not None and is_set(source.object) for source in held.sources):
        return order
    own = TypeCut.of(read_settings(held))
    cuts = [TypeCut(bold, apart) for bold in {own.bold, True} for apart in (own.apart, *range(1, MOST_APART + 1))]
    return replace(order, cuts={cut: _drawn_by(held, depsgraph, cut)[0] for cut in cuts})


def _inks_of(root: Object, depsgraph: Depsgraph) -> tuple[Ink, ...]:
    """Return the inks of the set that a stamp belongs to; none for one by itself."""
    inks = (plate_ink(each.stampwright) for each in stamps_of_set(root, depsgraph.scene))
    return as_inks([ink for ink in inks if ink is not None])


def keep_strokes(root: Object) -> None:
    """Take what brushes have moved on a stamp's die into its sculpt; raises :class:`StampwrightError`."""
    bench = bench_of(root)
    bench.read, read = read_back(root, bench.read)
    if read is not None:
        bench.settled = read.findings
        # The die does not show the sculpt as it was settled: it is written anew, whatever it was made from.
        bench.shown.pop("die", None)
        root.stampwright.built = ""


def check_keeps_sculpt(root: Object) -> None:
    """Raise :class:`StampwrightError` for a stamp of another file: an override keeps settings, and no sculpt."""
    if is_override(root):
        raise StampwrightError(
            "This file cannot keep another sculpt of a stamp that it overrides: sculpt it in its own file, or make it "
            "local with Object, Relations, Make Local"
        )


def set_sculpt(root: Object, sculpt: FaceMap | None) -> None:
    """Give a stamp's face a sculpt, or none, in place of its own and of what brushes have moved since.

    Raises as :func:`check_keeps_sculpt`.
    """
    check_keeps_sculpt(root)
    die = part_of(root, "die")
    if die is not None:
        forget(die)
    keep_map(root, SCULPT, sculpt)
    bench = bench_of(root)
    bench.settled = ()
    bench.shown.pop("die", None)


def _job_with_curves(held: Any, depsgraph: Depsgraph) -> Job:
    values = read_settings(held) | own_points(held, depsgraph)
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


def _drawn_by(
    held: Any, depsgraph: Depsgraph, cut: TypeCut | None = None
) -> tuple[tuple[Shape, ...], tuple[Finding, ...]]:
    """Return what all sources of a stamp draw, and what is to be said of it; ``cut``: see :func:`read_shapes`."""
    drawn: list[tuple[float, Shape]] = []
    said: list[Finding] = []
    for source in held.sources:
        if source.object is not None:
            shapes, findings = read_shapes(source, depsgraph, cut)
            drawn += [(level, shape if source.textured else replace(shape, plain=True)) for level, shape in shapes]
            said += findings
    # What lies higher is drawn later; of what is level, what is listed later.
    return tuple(shape for _, shape in sorted(drawn, key=lambda each: each[0])), tuple(said)


def _add_to(mark: Any, shape: Shape) -> None:
    """Add all that a shape is to a fingerprint."""
    for value in vars(shape).values():
        for part in vars(value).values() if hasattr(value, "__dataclass_fields__") else (value,):
            mark.update(np.ascontiguousarray(part).tobytes() if isinstance(part, np.ndarray) else repr(part).encode())
    mark.update(type(shape).__name__.encode())
