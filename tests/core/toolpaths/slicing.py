"""A small slicer for tests, by trimesh and shapely: walls, then full filling, as paths that can be spoiled."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
import trimesh
from shapely import affinity
from shapely.geometry import LineString

FILAMENT = math.pi / 4 * 1.75**2


@dataclass(frozen=True)
class Path:
    """One bead, as it is meant: ``points`` on the plate, ``top``, ``height``, ``width``, mm; whether it is a wall."""

    points: tuple[tuple[float, float], ...]
    top: float
    height: float
    width: float
    wall: bool

    @property
    def section(self) -> float:
        return (self.width - self.height) * self.height + math.pi / 4 * self.height**2


def slice_mesh(mesh, *, layer=0.2, width=0.4, walls=2, at=(110.0, 100.0), turn=0.0) -> list[Path]:
    """Return the paths of a mesh that stands on z = 0, layer by layer."""
    body = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=True)
    spacing = width - layer * (1 - math.pi / 4)
    paths = []
    for number in range(round(float(body.bounds[1][2]) / layer)):
        region = affinity.translate(affinity.rotate(section_at(body, (number + 0.5) * layer), turn, origin=(0, 0)), *at)
        made = {"top": round((number + 1) * layer, 6), "height": layer, "width": width}
        for wall in range(walls):
            inner = region.buffer(-width / 2 - wall * spacing, join_style="mitre")
            for ring in shapely.get_rings(shapely.get_parts(inner)):
                paths.append(Path(tuple(map(tuple, shapely.get_coordinates(ring).tolist())), wall=True, **made))
        inside = region.buffer(-width / 2 - (walls - 1) * spacing - spacing / 2)
        for line in filling(inside, spacing, 45.0 + 90.0 * (number % 2)):
            paths.append(Path(tuple(line.coords), wall=False, **made))
    return paths


def section_at(body, height: float) -> shapely.Geometry:
    region = shapely.Polygon()
    for ring in body.section(plane_origin=(0, 0, height), plane_normal=(0, 0, 1)).discrete:
        region = region.symmetric_difference(shapely.Polygon(ring[:, :2]).buffer(0))
    return region


def filling(region: shapely.Geometry, spacing: float, turn: float) -> Iterable[LineString]:
    flat = affinity.rotate(region, -turn, origin=(0, 0))
    if flat.is_empty:
        return
    left, bottom, right, top = flat.bounds
    for at, y in enumerate(np.arange(bottom + spacing / 2, top, spacing).tolist()):
        ends = [left - 1, right + 1][:: 1 if at % 2 else -1]
        cut = flat.intersection(LineString([(ends[0], y), (ends[1], y)]))
        for part in shapely.get_parts(cut):
            if part.geom_type == "LineString" and part.length > 0.3:
                yield affinity.rotate(part, turn, origin=(0, 0))


def write(
    paths: Sequence[Path],
    *,
    head: str = "",
    relative: bool = False,
    volumetric: bool = False,
    feed: float = 1.0,
    speed: float = 20.0,
    end: str = "\n",
    digits: int = 5,
    flow: float = 1.0,
) -> bytes:
    """Return G-code of paths; ``feed``: mm of a unit, ``flow``: how much is fed of what is meant."""
    lines = [head, "G90", "G21" if feed == 1.0 else "G20", "M83" if relative else "M82", "G92 E0"]
    if volumetric:
        lines.append("M200 D1.75")
    come = 0.0

    def fed(length: float) -> str:
        nonlocal come
        come += length / feed
        told = length / feed if relative else come
        return f"E{told:.{digits}f}"

    for path in paths:
        (x, y), *rest = path.points
        lines.append(f"G1 {fed(-1.0)} F1800")
        lines.append(f"G0 X{x / feed:.4f} Y{y / feed:.4f} Z{path.top / feed:.4f} F{6000 / feed:.1f}")
        lines.append(f"G1 {fed(1.0)} F1800")
        for number, (to_x, to_y) in enumerate(rest):
            volume = flow * path.section * math.hypot(to_x - x, to_y - y)
            told = f" F{60 * speed / feed:.1f}" if number == 0 else ""
            lines.append(
                f"G1 X{to_x / feed:.4f} Y{to_y / feed:.4f} {fed(volume / (1 if volumetric else FILAMENT))}{told}"
            )
            x, y = to_x, to_y
    return (end.join(lines) + end).encode()


def moved(path: Path, x: float, y: float) -> Path:
    """Return a path moved on the plate, mm."""
    return replace(path, points=tuple((a + x, b + y) for a, b in path.points))


def scaled(path: Path, x: float, y: float, about=(110.0, 100.0)) -> Path:
    """Return a path scaled on the plate about a place."""
    points = tuple((about[0] + (a - about[0]) * x, about[1] + (b - about[1]) * y) for a, b in path.points)
    return replace(path, points=points)


def write_busily(paths: Sequence[Path]) -> bytes:
    """Return G-code of paths with all else that machines are told: hops, wipes, arcs, resets, priming, a skirt."""
    lines = [
        "; any words at all, layer_height = 9.9, nozzle 99",
        "M201 X3000 Y3000\nM204 P800 T1500\nM205 X8.00 Y8.00\nM104 S225\nM140 S40\nG28 W ; home\nG29\nM109 S225",
        'M117 G1 X5 now\nSET_VELOCITY_LIMIT ACCEL=9\nM862.3 P "some printer"\nT0\nG21\nG90\nM83\nG92 E0.0',
        "G1 Z0.2 F720\nG1 Y-3.0 F1000.0\nG92 E0.0\nG1 X60.0 E9.0 F1000.0 (prime)\nG1 X100.0 E12.5 F1000.0",
    ]
    left, front, right, back = 90.0, 84.0, 130.0, 116.0
    for x, y, length in ((right, front, 40.0), (right, back, 32.0), (left, back, 40.0), (left, front, 32.0)):
        lines.append(f"G1 X{x:.3f} Y{y:.3f} E{length * 0.0714 / FILAMENT:.5f} F1200")
    top = 0.0
    for path in paths:
        if path.top != top:
            top = path.top
            lines.append(f";up we go\n;to {top:g}\nG92 E0\nM106 S127.5\nM73 P50 R9")
        x, y = path.points[0]
        lines += [f"G1 E-.8 F2100\nG1 Z{top + 0.4:.3f} F10800", f"G1 X{x:.3f} Y{y:.3f}", f"G1 Z{top:.3f}\nG1 E.8"]
        lines.append("G1 F1200")
        if (circle := _circle(path)) is None:
            for to_x, to_y in path.points[1:]:
                fed = path.section * math.hypot(to_x - x, to_y - y) / FILAMENT
                lines.append(f"G1 X{to_x:.3f} Y{to_y:.3f} E{fed:.5f}")
                x, y = to_x, to_y
        else:
            (middle_x, middle_y), turn = circle
            fed = path.section * math.pi * math.hypot(x - middle_x, y - middle_y) / FILAMENT
            for _ in range(2):
                to_x, to_y = 2 * middle_x - x, 2 * middle_y - y
                code = "G3" if turn > 0 else "G2"
                lines.append(f"{code} X{to_x:.3f} Y{to_y:.3f} I{middle_x - x:.3f} J{middle_y - y:.3f} E{fed:.5f}")
                x, y = to_x, to_y
        back_x, back_y = path.points[-2]
        lines.append(f";and back\nG1 X{(x + back_x) / 2:.3f} Y{(y + back_y) / 2:.3f} E-.2 F8640\nG1 E.2\n;done")
    return ("\n".join(lines) + "\nG1 E-2 F2700\nG91\nG1 Z10\nG90\nM84\n").encode()


def _circle(path: Path) -> tuple[tuple[float, float], int] | None:
    """Return the middle of a path that goes once round a circle, and which way, counter-clockwise being 1."""
    if len(path.points) < 40 or path.points[0] != path.points[-1]:
        return None
    points = np.array(path.points)
    ring = shapely.Polygon(points)
    away = np.hypot(*(points - (ring.centroid.x, ring.centroid.y)).T)
    if np.ptp(away) > 0.01:
        return None
    return (ring.centroid.x, ring.centroid.y), 1 if shapely.is_ccw(ring.exterior) else -1
