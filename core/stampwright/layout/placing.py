"""Placing: the artwork at its real size in the middle of its base, and what stands against lying so."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from ..artwork.artwork import Artwork, Code
from ..errors import ArtworkError
from ..findings import Finding
from ..job.sections.parts import DieSection
from ..job.sections.placing import BaseSection, LayoutSection
from ..job.sections.printing import PrinterSection
from ..plane.regions import sound_parts
from ..plane.repeats import Repeat
from .bases import follow_ink, outline_base
from .beds import examine_on_bed
from .centring import Affine, levelling_shift, turned_about_middle
from .fitting import SMALLEST_INK, size_of, wanted_scale
from .room import beyond, near_edge, other_place, too_large

_SHARES = (1.0, 0.75, 0.5, 0.25)
"""Shares of the way to a level place that are tried, where the base has no room for all of it."""

_SMALLER = 0.8
"""Fitted artwork becomes no smaller than by this for standing level."""

_TURNS = ((5.0, 17), (1.0, 4), (0.25, 3))
"""Steps of turning, degrees, and how many each way: over a half turn, then closer and closer to the best."""

_CLEARLY = 1.001


@dataclass(frozen=True)
class Layout:
    """Artwork placed on its base; paper frame, mm, origin in the middle of the base.

    ``matrix`` takes the artwork's page to this frame, in shapely's six-number affine form; ``scale`` is its
    magnification. ``findings`` are the layout's own; those of the artwork stay with the artwork. ``plain`` is the ink
    that takes no texture; ``codes`` are the codes in the artwork, as they lie and as fine as they are here. ``sized``
    says in words how large it is and why; ``repeat`` how the ink comes again, where a roller prints it.
    """

    inked: MultiPolygon
    base: Polygon
    scale: float
    matrix: Affine
    findings: tuple[Finding, ...] = ()
    plain: MultiPolygon = field(default_factory=MultiPolygon)
    codes: tuple[Code, ...] = ()
    sized: str = ""
    repeat: Repeat | None = None


def lay_out(
    artwork: Artwork, layout: LayoutSection, section: BaseSection, die: DieSection, printer: PrinterSection
) -> Layout:
    """Size, turn and centre the artwork on the base that a section describes.

    The middle of the turned artwork (of its bounds, its area, its smallest enclosing circle, or its page) comes to the
    origin; by default its middle as the base's form has it, moved so far that a stamp which is free to tilt stands
    level, as far as the base allows. The origin is the middle of the base: of its bounds, or, for a base that follows
    the artwork, that same middle of the artwork. Width and height are those of the ink as it lies on paper, after
    turning. Fitted artwork comes as close to the base's edge as the margin allows: ``layout.margin``, or
    ``base.margin`` for a base that follows it; such a base then fills ``base.width`` by ``base.height`` one way or the
    other.

    Raises :class:`~stampwright.errors.ArtworkError` when there is no ink, and
    :class:`~stampwright.errors.JobError` when the base has no usable outline or the margin leaves no room on it.
    """
    if artwork.inked.is_empty:
        raise ArtworkError(f"{artwork.name or 'the artwork'} holds no ink: there is nothing to print")
    set_base = None if section.outline == "follow" else outline_base(section)
    foot = (die.relief + die.dressing) * math.tan(math.radians(die.shoulder))
    best = _best_turn(artwork, layout, section, set_base, foot)
    scale, turned, centred = best.scale, best.matrix, best.centred
    a, b, d, e, x, y = (scale * value for value in turned)
    inked = _moved(artwork.inked, (a, b, d, e, x, y))
    base, findings = follow_ink(inked, section) if set_base is None else (set_base, [])
    plain = _moved(artwork.plain, (a, b, d, e, x, y))
    codes = tuple(code.moved((a, b, d, e, x, y)) for code in artwork.codes)
    laid = Layout(
        inked=inked,
        base=base,
        scale=scale,
        matrix=(a, b, d, e, x, y),
        plain=plain,
        codes=codes,
        sized=_size_in_words(inked, scale, layout.size_by, true_size=artwork.true_size),
    )
    if set_base is None:
        findings += near_edge(laid, foot, "Raise base.margin, or lower die.shoulder")
    elif (outside := beyond(laid)) is not None:
        other = other_place(artwork, layout, section, set_base, scale)
        findings = [too_large(laid, centred, layout, outside, other)]
    else:
        remedy = "Raise layout.margin, use a larger base, make the artwork smaller, or lower die.shoulder"
        findings = near_edge(laid, foot, remedy)
    off_bed = examine_on_bed("base", shapely.get_coordinates(base.exterior), 0.0, printer, stage="layout")
    return replace(laid, findings=(*findings, *off_bed))


@dataclass(frozen=True)
class _Placed:
    """Artwork turned about its middle, and how much larger it comes to be."""

    scale: float
    matrix: Affine
    centred: MultiPolygon


def _best_turn(
    artwork: Artwork, layout: LayoutSection, section: BaseSection, base: Polygon | None, foot: float
) -> _Placed:
    """Return the artwork as it is turned, on request to where it can be largest."""

    def placed(turn: float) -> _Placed:
        return _placed_at(artwork, layout, section, base, foot, turn=turn)

    first = placed(layout.turn)
    if not layout.turn_to_fit or layout.size_by not in ("fit", "drawn") or first.scale == 1.0:
        return first
    best, at = first, layout.turn
    for step, reach in _TURNS:
        around = [at + step * number for number in range(-reach, reach + 1) if number]
        for turn in around:
            other = placed(turn)
            if other.scale > _CLEARLY * best.scale:
                best, at = other, turn
    return best


def _placed_at(
    artwork: Artwork, layout: LayoutSection, section: BaseSection, base: Polygon | None, foot: float, *, turn: float
) -> _Placed:
    matrix = turned_about_middle(artwork, layout, turn, round_base=section.outline in ("round", "ellipse", "follow"))
    centred = _moved(artwork.inked, matrix)
    width, height = size_of(centred)
    if not SMALLEST_INK < max(width, height) < math.inf:
        raise ArtworkError(f"{artwork.name or 'the artwork'} has ink of no size: there is nothing to print")

    def scaled(ink: MultiPolygon) -> float:
        return wanted_scale(layout, section, ink, base, true_size=artwork.true_size, foot=foot)

    plain = _Placed(scaled(centred), matrix, centred)
    if layout.centre != "level" or base is None:
        return plain
    shift = levelling_shift(centred)
    for share in _SHARES if shift.any() else ():
        x, y = share * shift
        moved = affinity.translate(centred, x, y)
        scale = scaled(moved)
        fits = base.covers(affinity.scale(moved, scale, scale, origin=(0, 0)).convex_hull)
        if scale >= _SMALLER * plain.scale and (fits or not base.covers(centred)):
            return _Placed(scale, (*matrix[:4], matrix[4] + x, matrix[5] + y), moved)
    return plain


def _size_in_words(inked: MultiPolygon, scale: float, size_by: str, *, true_size: bool) -> str:
    width, height = size_of(inked)
    size = f"{width:.1f} x {height:.1f} mm"
    if true_size and scale == 1.0:
        return f"{size}, as drawn"
    magnified = f", {scale:.3g} times as drawn" if true_size else ""
    match size_by:
        case "width" | "height":
            return f"{size}, its {size_by} as set{magnified}"
        case "page":
            return f"{size}, the size of its file at an assumed resolution"
        case "drawn" if not true_size:
            return f"{size}, fitted to the base, as its file gives no size to rely on"
    return f"{size}, fitted to the base{magnified}"


def _moved(inked: MultiPolygon, matrix: Affine) -> MultiPolygon:
    return sound_parts(affinity.affine_transform(inked, matrix))
