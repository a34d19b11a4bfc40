"""Things drawn in the scene for the tests, stamps made of them, and an independent look at them from above."""

import math

import bmesh
import bpy
import numpy as np


def link(name, data):
    """Return a new object with this data, linked, selected and active."""
    drawn = bpy.data.objects.new(name, data)
    bpy.context.collection.objects.link(drawn)
    bpy.context.view_layer.update()
    choose(drawn)
    return drawn


def choose(*chosen):
    """Select these objects alone, the first of them active."""
    for each in bpy.context.view_layer.objects:
        each.select_set(each in chosen)
    bpy.context.view_layer.objects.active = chosen[0]
    bpy.context.view_layer.update()


def curve(name, *rings, closed=True, kind="POLY", fill="BOTH", dimensions="2D"):
    """Return a curve object with one spline a ring, (x, y) in Blender units."""
    data = bpy.data.curves.new(name, "CURVE")
    data.dimensions = dimensions
    if dimensions == "2D":
        data.fill_mode = fill
    for ring in rings:
        spline = data.splines.new(kind)
        held = spline.bezier_points if kind == "BEZIER" else spline.points
        held.add(len(ring) - 1)
        for point, (x, y) in zip(held, ring, strict=True):
            point.co = (x, y, 0.0) if kind == "BEZIER" else (x, y, 0.0, 1.0)
            if kind == "BEZIER":
                point.handle_left_type = point.handle_right_type = "AUTO"
        spline.use_cyclic_u = closed
    return link(name, data)


def letter_f(size=1.0):
    """Return a ring that is nothing like its mirror image: the letter F."""
    return [
        (size * x, size * y)
        for x, y in [(0, 0), (1, 0), (1, 2), (3, 2), (3, 3), (1, 3), (1, 4), (4, 4), (4, 5), (0, 5)]
    ]


def circle(radius, count=64, middle=(0.0, 0.0)):
    """Return a ring of points round a circle."""
    turns = [2 * math.pi * number / count for number in range(count)]
    return [(middle[0] + radius * math.cos(turn), middle[1] + radius * math.sin(turn)) for turn in turns]


def text(body, size=1.0):
    """Return a text object."""
    data = bpy.data.curves.new(body, "FONT")
    data.body = body
    data.size = size
    return link(body, data)


def plane(name, ring):
    """Return a mesh object with one face."""
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata([(x, y, 0.0) for x, y in ring], [], [list(range(len(ring)))])
    return link(name, mesh)


def made(*drawn):
    """Make a stamp of these objects and return its root."""
    choose(*drawn)
    assert bpy.ops.stampwright.make_stamp() == {"FINISHED"}
    return bpy.context.active_object


def part(root, role):
    """Return the part of a stamp with this role, or None."""
    return next((child for child in root.children if child.stampwright.role == role), None)


def seen_from_above(drawn, pixels=400):
    """Return what the host's own mesh of objects covers from above, (rows, columns) bool over its bounds, and those.

    Independent of the extension and the core: the host tessellates, and points are looked up in its triangles by rays.
    """
    depsgraph = bpy.context.evaluated_depsgraph_get()
    whole = bmesh.new()
    for each in drawn:
        seen = each.evaluated_get(depsgraph)
        mesh = seen.to_mesh()
        part = bpy.data.meshes.new("part")
        part.from_pydata(
            [each.matrix_world @ vertex.co for vertex in mesh.vertices], [], [list(p.vertices) for p in mesh.polygons]
        )
        whole.from_mesh(part)
        bpy.data.meshes.remove(part)
        seen.to_mesh_clear()
    from mathutils import Vector
    from mathutils.bvhtree import BVHTree

    tree = BVHTree.FromBMesh(whole)
    corners = np.array([vertex.co for vertex in whole.verts])
    whole.free()
    (left, bottom, _), (right, top, high) = corners.min(axis=0), corners.max(axis=0)
    pitch = max(right - left, top - bottom) / pixels
    columns, rows = round((right - left) / pitch), round((top - bottom) / pitch)
    picture = np.zeros((rows, columns), dtype=bool)
    for row in range(rows):
        for column in range(columns):
            start = Vector((left + (column + 0.5) * pitch, bottom + (row + 0.5) * pitch, high + 1.0))
            picture[row, column] = tree.ray_cast(start, Vector((0, 0, -1)))[0] is not None
    return picture, (left, bottom, right, top)
