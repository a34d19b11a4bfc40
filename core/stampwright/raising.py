"""The solids of a stamp from its job and its laid-out artwork: die, backing and handle, flat or bent, and measured."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shapely.geometry import MultiPolygon, Polygon

from .curved import Bend
from .errors import SolidError
from .examination import Laid
from .face import Bead, DieShape, FaceMap, TexturedFace, face_outlines, shape_die
from .face.textures.texturing import texture_face
from .findings import Finding
from .job import Job
from .job.heights import snap_heights
from .job.materials import MATERIALS
from .memory import Memory
from .parts import Measures, build_backing, build_handle, judge_die, lay_die, measure
from .parts.rolling import bend_of, bent_die, build_drum, build_fork, rocker_backing, rocker_foot
from .parts.rolling.building import seamed, unrolled_once
from .parts.rolling.joining import joined
from .solids import Solid

MOST_SEAMS = 4
"""Places that are tried for a roller's seam through ink."""


@dataclass(frozen=True)
class Raised:
    """The die: ``outlines`` of its finished face, mm, paper frame, its solid, and its face, if that is textured.

    ``flat``: the same before it was bent by ``bend``, or unrolled from that; the solid itself where it is flat.
    """

    outlines: MultiPolygon
    solid: Solid
    flat: Solid
    bend: Bend | None
    face: TexturedFace | None
    findings: tuple[Finding, ...]


def raise_die(job: Job, laid: Laid, memory: Memory, *, sculpt: FaceMap | None) -> Raised:
    """Raise the die, with its texture if its face has any; :func:`make_sure` is still to be asked of it."""
    recall, layout, printer = memory.recall, laid.layout, job.printer
    spread, line_width = job.ink.spread, printer.line_width
    outlines = recall(face_outlines, layout.inked, job.die, spread=spread, line_width=line_width, repeat=layout.repeat)
    shape = recall(shape_die, outlines, layout.base, job.die, job.backing, layer=printer.layer)
    bend = bend_of(job.bend, job.die, job.backing, layer=printer.layer)
    about_halves: tuple[Finding, ...] = ()
    if bend is not None:
        bend, about_halves = recall(joined, bend, shape.face, job.bend, printer)
    if bend is None or not bend.closed:
        return _raised(job, laid, outlines, shape, bend=bend, memory=memory, sculpt=sculpt)
    attempt = 0
    while True:
        seam_shape, seam_bend = recall(seamed, shape, bend, seam=job.bend.seam, attempt=attempt)
        try:
            raised = _raised(job, laid, outlines, seam_shape, bend=seam_bend, memory=memory, sculpt=sculpt)
            return replace(raised, findings=(*raised.findings, *about_halves))
        except SolidError:
            # A seam through ink may meet with what cannot be joined there; elsewhere it mostly can.
            attempt += 1
            if not seam_bend.overlap or attempt == MOST_SEAMS:
                raise


def make_sure(raised: Raised, memory: Memory) -> None:
    """Make sure that a die is sound, apart from raising it: it is shown before; raises :class:`SolidError`."""
    if raised.bend is None and raised.face is None:
        memory.recall(judge_die, raised.flat)


def _raised(
    job: Job,
    laid: Laid,
    outlines: MultiPolygon,
    shape: DieShape,
    *,
    bend: Bend | None,
    memory: Memory,
    sculpt: FaceMap | None,
) -> Raised:
    """Raise the die from its shape, and bend it."""
    recall, printer, heights = memory.recall, job.printer, snap_heights(job)
    face, about_face = texture_face(
        shape,
        job.face,
        laid.layout.inked,
        laid.layout.plain,
        depth=heights.texture,
        dressing=heights.dressing,
        bead=Bead(printer.line_width, printer.layer),
        sculpt=sculpt,
        picture=laid.picture,
        memory=memory,
    )
    flat = recall(lay_die, shape) if face is None else face.dense.solid
    if bend is None:
        return Raised(outlines, flat, flat, None, face, about_face)
    try:
        bent = recall(bent_die, flat, bend, job.backing)
    except SolidError:
        # What is not sound flat cannot be bent, and is then told so.
        recall(judge_die, flat)
        raise
    if bend.closed and (bend.overlap or bend.seam != bend.repeat / 2.0):
        flat = recall(unrolled_once, bent)
    return Raised(outlines, bent.solid, flat, bent.bend, face, about_face)


def back(job: Job, base: Polygon, bend: Bend | None, memory: Memory) -> tuple[Solid | None, Bend | None]:
    """Build what the die lies on, and return it with the bend as that has it."""
    layer, up_mark = job.printer.hard.layer, job.handle.up_mark
    if bend is None:
        return memory.recall(build_backing, base, job.backing, job.cushion, layer=layer, up_mark=up_mark), None
    if bend.closed:
        return memory.recall(build_drum, bend, job.bend, job.backing), bend
    return memory.recall(rocker_backing, base, job.backing, job.cushion, bend, layer=layer, up_mark=up_mark)


def handle_of(
    job: Job, base: Polygon, inked: MultiPolygon, bend: Bend | None, memory: Memory
) -> tuple[Solid | None, tuple[Finding, ...]]:
    """Build the handle, and say what there is to say of it."""
    layer = job.printer.hard.layer
    if bend is not None and bend.closed:
        return memory.recall(build_fork, bend, job.bend, job.handle, layer=layer), ()
    if bend is not None:
        base = memory.recall(rocker_foot, base, job.backing, job.cushion, bend, layer=layer)
    return memory.recall(
        build_handle,
        base,
        inked if job.handle.index != "none" else MultiPolygon(),
        job.handle,
        job.backing,
        round_base=job.base.outline == "round" and bend is None,
        layer=job.printer.hard.layer,
        line_width=job.printer.hard.line_width,
        memory=memory,
    )


def measure_parts(job: Job, printed: tuple[Solid | None, ...], memory: Memory) -> dict[str, Measures]:
    """Return the measures of every printed part, as it stands on the bed, by the name of its solid."""
    die, backing, handle = printed
    parts = (
        (die, job.die, job.price.die_per_kg, job.printer),
        (backing, job.backing, job.price.backing_per_kg, job.printer.hard),
        (handle, job.handle, job.price.handle_per_kg, job.printer.hard),
    )
    return {
        solid.name: memory.beside(solid.name).recall(
            measure,
            solid,
            material=MATERIALS[section.material],
            printer=printer,
            walls=section.walls,
            infill=section.infill,
            price_per_kg=price,
        )
        for solid, section, price, printer in parts
        if solid is not None
    }
