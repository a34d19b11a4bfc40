"""How the layers of a thing stand on each other: left out, shifted, begun in the air, swollen on the bed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, box

from ...findings import Finding
from ...plane.overlays import all_joined
from ...plane.regions import filled_parts
from ..laid.covers import Covers
from ..laid.plate import LaidLayer, Thing

SHIFT = 0.1
"""How far a layer may lie off the one below, mm: less is within what a printer's belts hold (assumed)."""

SWELL = 0.1
"""How far the first layer may stand out past the second, mm per side, before it is told: half a seat's clearance."""

BRIM = 1.0
"""How far a first layer stands out that is meant to, mm."""

LEFT_OUT = 1.5
"""Rise from layer to layer, in usual ones, from which on one was left out, unless its beads are thicker, too."""

LEAST_PART = 0.1
"""mm²; what is smaller is a drop."""


def examine_stack(thing: Thing, covers: Covers, layers: tuple[int, ...]) -> Iterator[Finding]:
    """Yield what there is to say of how layers stand on each other; places as on the plate.

    ``layers``: places of those whose areas may be asked for.
    """
    yield from _left_out(thing)
    yield from _shifted(thing)
    yield from _in_the_air(covers, layers)
    yield from _swollen(thing, covers)


def _left_out(thing: Thing) -> Iterator[Finding]:
    """Yield the layers that were left out: the nozzle rises by more than it lays."""
    sections = [float(np.median(layer.beads.section)) for layer in thing.layers]
    usual = float(np.median(sections))
    below = 0.0
    for layer, section in zip(thing.layers, sections, strict=True):
        rise = layer.top - below
        if rise > LEFT_OUT * thing.pitch and section < (1 + (rise / thing.pitch - 1) / 2) * usual:
            yield Finding(
                kind="layer left out",
                severity="blocks",
                stage="build",
                message=f"Layer {layer.number} is laid {rise:.2f} mm over what is below it, with beads for "
                f"{thing.pitch:.2f} mm: from {below:.2f} mm up there is nothing",
                remedy="Slice the die again; look whether it stands on the bed",
                measured=rise,
                limit=thing.pitch,
            )
        below = layer.top


def _shifted(thing: Thing) -> Iterator[Finding]:
    """Yield the layers that lie to one side of those below: both edges have moved the same way, and about as far.

    A shoulder moves both by as much in opposite ways; where a part ends on one side, only one moves.
    """
    for below, layer in zip(thing.layers, thing.layers[1:], strict=False):
        moved = np.subtract(layer.bounds, below.bounds)
        for name, (one, other) in {"x": moved[::2], "y": moved[1::2]}.items():
            off = float(one + other) / 2
            if abs(off) > SHIFT and abs(one - other) <= 1.2 * abs(off):
                yield Finding(
                    kind="shifted layer",
                    severity="blocks",
                    stage="build",
                    message=f"Layer {layer.number}, at {layer.top:.2f} mm, lies {abs(off):.2f} mm off the one below, "
                    f"along {name}",
                    remedy="Slice the die again; nothing in a die leans",
                    place=_strip(layer),
                    measured=abs(off),
                    limit=SHIFT,
                )


def _in_the_air(covers: Covers, layers: tuple[int, ...]) -> Iterator[Finding]:
    """Yield the parts of layers that nothing below joins."""
    wanted = set(layers)
    for at in sorted(wanted):
        if at - 1 not in wanted:
            continue
        parts = shapely.get_parts(covers[at])
        held = np.zeros(len(parts), dtype=np.bool_)
        held[shapely.STRtree(shapely.get_parts(covers[at - 1])).query(parts, predicate="intersects")[0]] = True
        for part in parts[~held & (shapely.area(parts) >= LEAST_PART)]:
            layer = covers.thing.layers[at]
            yield Finding(
                kind="island in the air",
                severity="blocks",
                stage="build",
                message=f"A part of {part.area:.2f} mm² in layer {layer.number}, at {layer.top:.2f} mm, lies on "
                "nothing: the layer below does not reach it",
                remedy="Slice the die face up, as it is in its file",
                place=part,
                measured=float(part.area),
                unit="mm²",
            )


def _swollen(thing: Thing, covers: Covers) -> Iterator[Finding]:
    """Yield how far the first layer stands out past the second: a skirt, a brim, or more plastic than has room."""
    second = covers.outline(1)
    laid = [part for part in covers[0].geoms if part.intersects(second)]
    first = filled_parts(all_joined([shapely.Polygon(part.exterior) for part in laid]))
    if first.area <= 0 or second.length <= 0:
        return
    if len(laid) < len(covers[0].geoms):
        yield Finding(
            kind="skirt",
            severity="notes",
            stage="build",
            message="Lines lie round the die in its first layer, not joined to it: a skirt",
            remedy="Take them off the bed; nothing of them is the die's",
        )
    layer, over = thing.layers[0], thing.layers[1]
    volume = _of_full_beads(layer) * sum(part.area for part in laid) / covers[0].area
    # What is fed to every layer beyond its room is no fault of the first.
    rich = max(1.0, _of_full_beads(over) / over.height / second.area)
    out = (max(first.area, volume / layer.height / rich) - second.area) / second.length
    if (first.area - second.area) / second.length > BRIM:
        yield Finding(
            kind="brim to cut off",
            severity="notes",
            stage="build",
            message=f"The first layer stands out about {out:.1f} mm round the die",
            remedy="Cut the brim off before the die goes into its seat",
            measured=out,
        )
    elif out > SWELL:
        yield Finding(
            kind="swollen first layer",
            severity="warns",
            stage="build",
            message=f"The first layer lays {volume:.0f} mm³ at {layer.height:.2f} mm, which spreads {out:.2f} mm "
            "per side past the layer above",
            remedy="Lower the flow or line width of the first layer, or pare the edge: the die shall go into its seat",
            measured=out,
            limit=SWELL,
        )


def _of_full_beads(layer: LaidLayer) -> float:
    return float(layer.beads.volume[layer.full].sum(dtype=np.float64))


def _strip(layer: LaidLayer) -> MultiPolygon:
    return MultiPolygon([box(*layer.bounds)])
