"""What a toolpath shall print, as a job has it."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry import MultiPolygon, Polygon

from ..errors import ToolpathError
from ..job.heights import snap_heights
from ..job.materials import MATERIALS, Material
from ..likeness import GivenArt
from ..preflight import PrintLimits
from ..stamp import Stamp


@dataclass(frozen=True, eq=False, kw_only=True)
class Expected:
    """What a die's toolpath is held against; lengths in mm, outlines in the paper frame.

    ``face``: outlines of the finished face. ``base``: the outline that the die stands on. ``given``: the art as it
    was given. ``height``: of the whole die; ``depth``: how far below its top the face is finished. ``line``: width
    of a line. ``alone``: whether the die is the only part of its filament. ``bed``: width and depth. ``screen``:
    dots as they were meant, where tones are screened. ``grows``: how many times as large as its file a die comes off
    the printer, in x and y of the plate. ``whole_top``: whether all of the face goes up to the top: that of a textured
    one does not.
    """

    face: MultiPolygon
    base: Polygon
    given: GivenArt
    limits: PrintLimits
    accept: tuple[str, ...]
    height: float
    depth: float
    line: float
    layer: float
    spread: float
    material: Material
    alone: bool
    bed: tuple[float, float]
    screen: MultiPolygon | None = None
    whole_top: bool = True
    grows: tuple[float, float] = (1.0, 1.0)


def expected_of(stamp: Stamp) -> Expected:
    """Return what the toolpath of a stamp's die shall print.

    Raises :class:`~stampwright.errors.ToolpathError` when the die is bent: its face lies in no layer.
    """
    if stamp.bend is not None:
        raise ToolpathError(
            "the job's face is bent and lies in no layer, so its beads show no print: picture the die's .stl or .3mf "
            "instead"
        )
    job, heights = stamp.job, snap_heights(stamp.job)
    others = ((stamp.backing, job.backing), (stamp.handle, job.handle))
    return Expected(
        face=stamp.outlines,
        base=stamp.layout.base,
        given=stamp.given or GivenArt(stamp.inked),
        limits=PrintLimits.of(job.preflight, job.ink, job.printer),
        accept=job.preflight.accept,
        height=float(stamp.die.bounds[1][2] - stamp.die.bounds[0][2]),
        # The edge of a textured face is whole only below its texture.
        depth=heights.dressing + (heights.texture if stamp.face is not None else 0.0),
        line=job.printer.line_width,
        layer=job.printer.layer,
        spread=job.ink.spread,
        material=MATERIALS[job.die.material],
        alone=all(solid is None or section.material != job.die.material for solid, section in others),
        bed=(job.printer.bed_width, job.printer.bed_depth),
        screen=stamp.screened,
        whole_top=stamp.face is None,
        grows=job.printer.grows,
    )
