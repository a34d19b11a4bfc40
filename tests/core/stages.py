"""Single stages run as a job has them run: each is handed the sections of the job that it reads."""

from collections.abc import Sequence

from shapely.geometry import MultiPolygon, Polygon
from stampwright.artwork import Artwork
from stampwright.face import DenseDie, DieShape, FaceMap, LaidPicture, dense_face, face_outlines, shape_die
from stampwright.face.tones.screens import Screen
from stampwright.face.tones.toning import screen_of, tone
from stampwright.findings import Finding
from stampwright.job import Job
from stampwright.job.heights import snap_heights
from stampwright.layout import Layout, lay_out
from stampwright.parts import backing, build_backing, build_die, build_handle
from stampwright.parts.handle.index import index_region
from stampwright.preflight import PrintLimits, Repair, examine, repair
from stampwright.press import (
    Circumstances,
    HandForce,
    Impression,
    circumstances_of,
    handle_force,
    impress_uneven,
    ink_of,
    stated_conditions,
)
from stampwright.press.impressing import Mesh
from stampwright.solids import Solid


def laid_out(job: Job, artwork: Artwork) -> Layout:
    return lay_out(artwork, job.layout, job.base, job.die, job.printer)


def limits_of(job: Job) -> PrintLimits:
    return PrintLimits.of(job.preflight, job.ink, job.printer)


def examined(job: Job, layout: Layout) -> tuple[Finding, ...]:
    return examine(layout, job.preflight, limits_of(job))


def repaired(job: Job, layout: Layout, at: Sequence[tuple[float, float]] | None = None) -> Repair:
    return repair(layout.inked, job.preflight, limits_of(job), at)


def screen(job: Job) -> Screen:
    return screen_of(job.face, job.tracing, job.preflight, job.ink, job.printer)


def toned(job: Job, inked: MultiPolygon, plain: MultiPolygon, picture: LaidPicture) -> MultiPolygon:
    return tone(inked, plain, picture, screen(job), thinnest=job.printer.line_width / 2)


def outlines(job: Job, inked: MultiPolygon) -> MultiPolygon:
    return face_outlines(inked, job.die, spread=job.ink.spread, line_width=job.printer.line_width)


def shape(job: Job, inked: MultiPolygon, base: Polygon) -> DieShape:
    return shape_die(outlines(job, inked), base, job.die, job.backing, layer=job.printer.layer)


def die_of(job: Job, inked: MultiPolygon, base: Polygon) -> Solid:
    return build_die(shape(job, inked, base))


def dense_die(job: Job, inked: MultiPolygon, base: Polygon, sculpt: FaceMap | None = None) -> DenseDie:
    spacing = job.printer.line_width / job.face.fineness
    return dense_face(shape(job, inked, base), depth=snap_heights(job).texture, spacing=spacing).bearing(None, sculpt)


def backing_of(job: Job, base: Polygon) -> Solid | None:
    return build_backing(base, job.backing, job.cushion, layer=job.printer.hard.layer, up_mark=job.handle.up_mark)


def backing_height(job: Job) -> float:
    return backing.backing_height(job.backing, job.cushion, job.printer.hard.layer)


def seat_height(job: Job) -> float:
    return backing.seat_height(job.backing, job.printer.hard.layer)


def handle_of(job: Job, base: Polygon, inked: MultiPolygon) -> tuple[Solid | None, tuple[Finding, ...]]:
    return build_handle(
        base,
        inked,
        job.handle,
        job.backing,
        round_base=job.base.outline == "round",
        layer=job.printer.hard.layer,
        line_width=job.printer.hard.line_width,
    )


def index_of(job: Job, inked: MultiPolygon, flat: Polygon) -> tuple[MultiPolygon, tuple[Finding, ...]]:
    return index_region(inked, flat, job.printer.hard.line_width)


def hand(job: Job) -> HandForce:
    return handle_force(job.handle, min(job.base.width, job.base.height))


def setting(job: Job) -> Circumstances:
    return circumstances_of(stated_conditions(job), job.ink)


def pressed_uneven(
    job: Job, mesh: Mesh, meant: MultiPolygon, *, dpi: float, allowance: float | None = None
) -> Impression:
    allowance = job.die.dressing if allowance is None else allowance
    return impress_uneven(
        mesh,
        meant,
        stated_conditions(job),
        ink_of(job.ink),
        allowance=allowance,
        taken=allowance * job.press.dressed,
        dpi=dpi,
    )
