"""Artwork from the scene: each object that is drawn with, as seen in its plane, as the core's shapes."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from ..job.settings import read_settings
from ..scene.stamps import is_deleted, is_disabled
from ..scene.units import mm_per_unit
from ..stampwright.artwork.drawn import Faces, Filled, Shape
from ..stampwright.errors import ArtworkError
from ..stampwright.findings import Finding
from ..stampwright.plane.rings import cross_product
from . import notices
from .choosing import InkChoice, Look, ink_choice
from .clouds import CLOUD, cloud_points, cloud_shapes, mother_of
from .grease import (
    greatest_scale,
    held_strokes,
    masked_layers,
    points_of_strokes,
    read_strokes,
    seen_otherwise,
    shapes_of_strokes,
    stroke_points,
)
from .lines.curves import curve_points, curve_shapes, is_ribbon, needs_mesh, splines_of
from .lines.hair import TYPE as HAIR
from .lines.hair import brushed, hair_points, hair_shapes, strokes_of_nodes
from .lines.typesetting import TypeCut
from .meshes import Net, mesh_shapes, net_of_courses, read_mesh
from .planes import normal_of, view_of
from .references import PlacedPicture, picture_in, picture_shapes, trace_placed

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object

FINENESS = 4e-5
"""How far a straight piece may stray from its curve, as a share of the drawing's size: 2 µm on a stamp of 50 mm."""

CURVES, MESHES, STROKES = ("CURVE", "FONT"), ("MESH", "SURFACE", "META"), ("GREASEPENCIL", "GPENCIL")
FACED = (*CURVES, "SURFACE", "META")
"""What is read with the faces that the host makes of it."""

EDGE_ON = 1e-6
"""Faces that are seen at no more than this share of their area are seen from their edges, as far as numbers go."""


@dataclass(frozen=True, eq=False)
class Sourced:
    """One thing that a source draws: ``points``, (n, 3) float, world, mm, and what it draws turned as it is seen.

    ``said``: what is to be said of it wherever it stands. ``left_out``: the collection for which none of it prints.
    """

    points: Any
    draw: Callable[[Any], list[Shape]]
    said: tuple[Finding, ...] = ()
    left_out: str = ""

    def shapes(self, view: Any) -> list[Shape]:
        """Return what it draws turned as it is seen, all of it left out if its collection is."""
        drawn = self.draw(view)
        return [replace(shape, left_out=self.left_out) for shape in drawn] if self.left_out else drawn


@dataclass(frozen=True, eq=False)
class _Drawing:
    """What a source is read by: itself, the host's evaluation, which of it is ink, and how its text is set."""

    source: Any
    depsgraph: Depsgraph
    choice: InkChoice
    cut: TypeCut


def read_shapes(
    source: Any, depsgraph: Depsgraph, cut: TypeCut | None = None
) -> tuple[list[tuple[float, Shape]], list[Finding]]:
    """Return what one source of a stamp draws, mm, paper frame, each with how high it lies; and what is to be said.

    ``source``: an entry of a stamp's sources, which says in which plane it is seen. ``cut``: how its text is set; left
    out, as the stamp's settings say. Raises :class:`ArtworkError` when its object cannot be drawn with.
    """
    held = source.id_data.stampwright
    drawing = _Drawing(source, depsgraph, ink_choice(held), cut or TypeCut.of(read_settings(held)))
    drawn = source.object
    is_held = _is_in(depsgraph.view_layer.objects, drawn)
    body = mother_of(drawn, depsgraph.scene) if drawn.type == "META" else drawn
    seen = body.evaluated_get(depsgraph)
    absent = _about_absence(drawn, depsgraph, is_held=is_held)
    if absent is not None:
        return [], [absent]
    pieces = list(_pieces(drawing, seen))
    points = np.vstack([np.empty((0, 3)), *(piece.points for piece in pieces)])
    view = np.eye(4)
    view[:3, :3] = view_of(source.plane, points, world_in_mm(seen, depsgraph)[:3, :3], source.view)
    # To a ten-thousandth of a millimetre: what is level to the eye is so for what lies over what, too.
    levels = [round(float((piece.points @ view[2, :3]).mean()), 4) if len(piece.points) else 0.0 for piece in pieces]
    shapes = [(level, shape) for level, piece in zip(levels, pieces, strict=True) for shape in piece.shapes(view)]
    said = [finding for piece in pieces for finding in piece.said]
    if not shapes:
        return [], said or [notices.empty(drawn.name)]
    if not all(np.isfinite(shape.points()).all() for _, shape in shapes):
        # As of text that is justified in a box and shrunk to fit it, where the host divides by nothing.
        raise ArtworkError(f"{drawn.name} has points that are nowhere (not a number): lay it out otherwise")
    if _is_edge_on([shape for _, shape in shapes], points, view[:3, :3]):
        return [], [*said, notices.edge_on(drawn.name)]
    said += notices.of_plane(drawn.name, source.plane, points, view[:3, :3])
    if not is_held:
        said.append(notices.elsewhere(drawn.name))
    elif not drawn.visible_get(view_layer=depsgraph.view_layer):
        said.append(notices.hidden(drawn.name))
    return shapes, said


def _about_absence(drawn: Object, depsgraph: Depsgraph, *, is_held: bool) -> Finding | None:
    """Return what keeps an object from being there to print, or None; ``is_held``: by the view layer."""
    if is_held:
        return notices.disabled(drawn.name) if is_disabled(drawn, depsgraph.view_layer) else None
    if _is_in(depsgraph.scene.objects, drawn):
        return notices.left_out(drawn.name)
    return notices.deleted(drawn.name) if is_deleted(drawn) else None


def world_in_mm(seen: Object, depsgraph: Depsgraph) -> Any:
    """Return the matrix from an object's own coordinates to the world's, in mm, (4, 4) float."""
    return _in_mm(seen.matrix_world, depsgraph)


def in_world(points: Any, matrix: Any) -> Any:
    """Return points, (n, 3), taken through a matrix of :func:`world_in_mm`."""
    return points @ matrix[:3, :3].T + matrix[:3, 3]


def _in_mm(matrix: Any, depsgraph: Depsgraph) -> Any:
    scaled = np.array(matrix, dtype=np.float64)
    scaled[:3] *= mm_per_unit(depsgraph.scene)
    return scaled


def _is_in(objects: Any, drawn: Object) -> bool:
    """Whether an object is one of a scene's, or of those that the host evaluates: excluded collections hold others."""
    return any(each == drawn for each in objects)


def _pieces(drawing: _Drawing, seen: Object) -> Iterator[Sourced]:
    """Yield what an object draws itself, unless the host shows only its copies, and all that it has instances of."""
    picture = picture_in(seen)
    if picture is not None:
        yield _pictured(drawing, seen, picture, world_in_mm(seen, drawing.depsgraph))
        return
    if seen.type == "EMPTY":
        yield from _instances(drawing, seen)
        return
    if seen.instance_type == "NONE" or seen.show_instancer_for_viewport:
        own = _piece(drawing, seen, world_in_mm(seen, drawing.depsgraph))
        yield own
        yield from _curves_of_nodes(drawing, seen)
    else:
        own = None
    if seen.instance_type != "NONE" or any(each.type in ("NODES", "PARTICLE_SYSTEM") for each in seen.modifiers):
        is_drawn = own is not None and seen.type in FACED and bool(own.draw(np.eye(4)))
        yield from _instances(drawing, seen, is_drawn=is_drawn)


def _piece(drawing: _Drawing, seen: Object, matrix: Any) -> Sourced:
    """Return what an evaluated object draws, its own coordinates taken through a matrix to the world's, mm."""
    source, depsgraph, choice = drawing.source, drawing.depsgraph, drawing.choice
    left_out = choice.of_collections(seen.original)
    if seen.type in STROKES:
        points = in_world(stroke_points(seen), matrix)
        return Sourced(
            points,
            lambda view: read_strokes(seen, view @ matrix, _fineness(points), choice),
            said=(*(notices.masked(seen.name, layer) for layer in masked_layers(seen)), *seen_otherwise(seen)),
            left_out=left_out,
        )
    looks = choice.of_slots(seen)
    if seen.type == HAIR:
        points = in_world(hair_points(seen), matrix)
        return Sourced(
            points, lambda view: hair_shapes(seen, view @ matrix, _fineness(points), looks), left_out=left_out
        )
    if seen.type in CURVES and not needs_mesh(seen, matrix):
        points = in_world(curve_points(seen), matrix)

        band = read_mesh(seen, depsgraph) if is_ribbon(seen) else None

        def draw(view: Any) -> list[Shape]:
            if band is not None and len(band.triangles):
                shapes = mesh_shapes(band, view @ matrix, 0.0, looks)
                if not _is_edge_on(shapes, in_world(band.points, matrix), view[:3, :3]):
                    return shapes
            courses = splines_of(seen, depsgraph, view @ matrix, _fineness(points), drawing.cut)
            return list(curve_shapes(source, seen, courses, view @ matrix))

        return Sourced(points, draw, left_out=left_out)
    if seen.type == CLOUD:
        return _cloud(seen, matrix, looks[0], left_out)
    if seen.type not in CURVES + MESHES:
        raise ArtworkError(
            f"{seen.name} is no curve, hair, text, mesh, Grease Pencil or reference image: nothing can be drawn with "
            "it; take it off the list"
        )
    net = read_mesh(seen, depsgraph)
    flat = curve_points(seen) if seen.type in CURVES else net.points
    width = source.line_width
    return Sourced(
        in_world(flat, matrix),
        lambda view: mesh_shapes(net, view @ matrix, width, looks),
        said=tuple(_about_mesh(seen, net)),
        left_out=left_out,
    )


def _about_mesh(seen: Object, net: Net) -> Iterator[Finding]:
    if net.is_parted:
        yield notices.loose_edges(seen.name)
    systems: Iterator[Any] = (each for each in seen.modifiers if each.type == "PARTICLE_SYSTEM" and each.show_viewport)
    if any(each.particle_system.settings.render_type not in ("NONE", "OBJECT", "COLLECTION") for each in systems):
        yield notices.particles(seen.name)


def _cloud(seen: Object, matrix: Any, look: Look, left_out: str) -> Sourced:
    # As for meshes of instances: points are read now.
    places, radii = cloud_points(seen)
    points = in_world(places, matrix)
    return Sourced(points, lambda view: cloud_shapes(places, radii, view @ matrix, look), left_out=left_out)


def _pictured(drawing: _Drawing, seen: Object, picture: PlacedPicture, matrix: Any) -> Sourced:
    """Return what of the picture that an object shows is ink, by the tracing of the stamp's job."""
    traced = trace_placed(picture, seen.name, read_settings(drawing.source.id_data.stampwright))
    left_out = drawing.choice.of_collections(seen.original)
    said = (*traced.findings, notices.pictured(seen.name)) if seen.type == "MESH" else traced.findings
    # Of a picture's own white its tracing decides.
    look = drawing.choice.of_slots(seen)[0]._replace(paper=False) if seen.type == "MESH" else Look()
    points = in_world(picture.corners, matrix)
    return Sourced(points, lambda view: picture_shapes(picture, traced, view @ matrix, look), said, left_out)


def _instances(drawing: _Drawing, seen: Object, *, is_drawn: bool = False) -> Iterator[Sourced]:
    """Yield each instance that the host shows of an object: of collections, of vertices, of geometry nodes.

    ``is_drawn``: the object draws something besides, of which the host shows the faces as an instance, too.
    """
    curves, depsgraph = set(), drawing.depsgraph
    for each in depsgraph.object_instances:
        # The host has all three of an instance.
        parent, held, shown = (cast("Object", known) for known in (each.parent, each.instance_object, each.object))
        if not each.is_instance or parent.original != seen.original:
            continue
        matrix = _in_mm(each.matrix_world, depsgraph)
        where = (held.original.name_full, matrix.tobytes())
        if shown.type == "MESH" and held.type in FACED:
            # The host shows the faces of these as a mesh besides, also of the source itself.
            is_there = held.original == seen.original and np.allclose(matrix, world_in_mm(seen, depsgraph))
            is_own = is_drawn and is_there
            if is_own or where in curves:
                continue
        if shown.type == held.type and held.original != seen.original:
            curves.add(where)
            picture = picture_in(held)
            if picture is not None:
                yield _pictured(drawing, held, picture, matrix)
            elif held.type in (*CURVES, *MESHES, *STROKES, HAIR, CLOUD):
                yield _piece(drawing, held, matrix)
        elif shown.type in MESHES:
            yield _instance_of_mesh(drawing, shown, matrix, left_out=drawing.choice.of_collections(held.original))
        elif shown.type == CLOUD:
            left_out = drawing.choice.of_collections(held.original)
            yield _cloud(shown, matrix, drawing.choice.of_slots(shown)[0], left_out)
        elif shown.type == "VOLUME":
            yield Sourced(np.empty((0, 3)), lambda _view: [], said=(notices.volume(seen.name),))
        elif shown.type in STROKES:
            yield _instance_of_strokes(drawing, shown, matrix, left_out=drawing.choice.of_collections(held.original))


def _curves_of_nodes(drawing: _Drawing, seen: Object) -> Iterator[Sourced]:
    """Yield the curves that geometry nodes make of a mesh or a pencil drawing, or that the host does not tell them."""
    depsgraph = drawing.depsgraph
    if seen.type not in (*MESHES, *STROKES) or not any(each.type == "NODES" for each in seen.modifiers):
        return
    strokes = strokes_of_nodes(seen)
    if strokes:
        net, matrix = net_of_courses([(each.course, each.closed) for each in strokes]), world_in_mm(seen, depsgraph)
        width, looks = drawing.source.line_width, drawing.choice.of_slots(seen)

        def draw(view: Any) -> list[Shape]:
            # A pencil's curves are as broad as it drew them; radii of others are shares of nobody knows what.
            if seen.type in STROKES:
                return brushed(strokes, view @ matrix, looks)
            return mesh_shapes(net, view @ matrix, width, looks)

        yield Sourced(in_world(net.points, matrix), draw, left_out=drawing.choice.of_collections(seen.original))
    elif _shows_curves(drawing, seen):
        yield Sourced(np.empty((0, 3)), lambda _view: [], said=(notices.curves_of_nodes(seen.name),))


def _shows_curves(drawing: _Drawing, seen: Object) -> bool:
    """Whether the host shows curves of an object that is none."""
    found = False
    for each in drawing.depsgraph.object_instances:
        # To the end: the host does not bear to be left half-way.
        parent, held, shown = (cast("Object", known) for known in (each.parent, each.instance_object, each.object))
        if each.is_instance and parent.original == seen.original == held.original:
            found |= shown.type in CURVES
    return found


def _instance_of_mesh(drawing: _Drawing, shown: Object, matrix: Any, *, left_out: str) -> Sourced:
    # What an instance is made of is there only while it is gone through.
    net, looks, width = read_mesh(shown), drawing.choice.of_slots(shown), drawing.source.line_width
    return Sourced(
        in_world(net.points, matrix), lambda view: mesh_shapes(net, view @ matrix, width, looks), left_out=left_out
    )


def _instance_of_strokes(drawing: _Drawing, shown: Object, matrix: Any, *, left_out: str) -> Sourced:
    # As for meshes: strokes are read now.
    points = in_world(stroke_points(shown), matrix)
    strokes = held_strokes(shown, _fineness(points) / greatest_scale(matrix), drawing.choice)
    return Sourced(
        in_world(points_of_strokes(strokes), matrix),
        lambda view: shapes_of_strokes(strokes, view @ matrix),
        left_out=left_out,
    )


def _is_edge_on(shapes: list[Shape], points: Any, view: Any) -> bool:
    """Whether faces and fills, and nothing else, are seen from their edges, so that they cover nothing."""
    if any(not isinstance(each, Faces | Filled) for each in shapes):
        return False
    normal = normal_of(points)
    if normal is not None:
        return abs(float(normal @ view[2])) < EDGE_ON
    triangles = [each.triangles for each in shapes if isinstance(each, Faces)]
    if len(triangles) < len(shapes) or not len(points):
        return False
    first, second = (np.vstack([each[:, at] - each[:, 0] for each in triangles]) for at in (1, 2))
    covered = np.abs(cross_product(first, second)).sum() / 2.0
    return bool(covered < EDGE_ON * np.ptp(points, axis=0).max() ** 2)


def _fineness(points: Any) -> float:
    size = float(np.ptp(points, axis=0).max()) if len(points) else 0.0
    return max(size, 1e-6) * FINENESS
