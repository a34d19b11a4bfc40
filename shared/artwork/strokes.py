"""Writes points, curves and areas down as SVG; y runs up in the drawings and down in the file."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.polygon import orient
from shapely.ops import unary_union

Place = tuple[float, float]


def page(width: float, height: float, title: str, about: str, body: Sequence[str]) -> str:
    """Return a whole SVG document of a size in mm with the drawing's origin in its middle."""
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}mm" height="{height:g}mm" '
        f'viewBox="{-width / 2:g} {-height / 2:g} {width:g} {height:g}">\n'
        f"  <title>{title}</title>\n  <desc>{about} Drawn by draw.py; given away under CC0 1.0.</desc>\n"
    )
    return head + "".join(f"  {element}\n" for element in body) + "</svg>\n"


def circle(x: float, y: float, radius: float, **attributes: object) -> str:
    """Return a circle."""
    return f'<circle cx="{_number(x)}" cy="{_number(-y)}" r="{_number(radius)}"{_written(attributes)}/>'


def curve(points: Sequence[Place], **attributes: object) -> str:
    """Return a path of cubic curves: a start, then three points for each curve."""
    first, *rest = points
    curves = (" ".join(_place(point) for point in rest[at : at + 3]) for at in range(0, len(rest), 3))
    return f'<path d="M{_place(first)} ' + " ".join(f"C{three}" for three in curves) + f'"{_written(attributes)}/>'


def through(points: Sequence[Place], *, beyond: Place | None = None, **attributes: object) -> str:
    """Return a smooth path through the points, by cubic curves with the tangents of Catmull and Rom (1974).

    ``beyond`` is where the line would go on after its last point, if another path does that.
    """
    given = np.array(points, float)
    after = 2 * given[-1] - given[-2] if beyond is None else np.array(beyond)
    padded = np.vstack([2 * given[0] - given[1], given, after])
    tangents = (padded[2:] - padded[:-2]) / 6
    controls: list[Place] = [points[0]]
    for at in range(len(given) - 1):
        controls += [tuple(given[at] + tangents[at]), tuple(given[at + 1] - tangents[at + 1]), tuple(given[at + 1])]
    return curve(controls, **attributes)


def area(shapes: Iterable[Polygon | MultiPolygon], **attributes: object) -> str:
    """Return filled outlines as one path."""
    joined = unary_union([shape.buffer(0) for shape in shapes])
    polygons = joined.geoms if isinstance(joined, MultiPolygon) else [joined]
    rings = []
    for polygon in polygons:
        whole = orient(polygon.simplify(0.003))
        rings += [
            "M" + " ".join(_place(point) for point in ring.coords[:-1]) + "Z"
            for ring in (whole.exterior, *whole.interiors)
        ]
    return f'<path d="{"".join(rings)}"{_written(attributes)}/>'


def _place(point: Place) -> str:
    return f"{_number(point[0])},{_number(-point[1])}"


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".").replace("-0.", "-.", 1) if abs(value) >= 0.0005 else "0"


def _written(attributes: dict[str, object]) -> str:
    """Return attributes as SVG writes them; a trailing underscore frees a name that Python keeps for itself."""
    return "".join(f' {name.rstrip("_").replace("_", "-")}="{value}"' for name, value in attributes.items())
