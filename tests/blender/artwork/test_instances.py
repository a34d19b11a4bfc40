"""What the host shows as instances prints, also beside an object's own shape."""

import math

import bpy
import pytest
from drawing import choose, made

DISC = math.pi * 0.2**2


@pytest.fixture
def ink_of(benches):
    """Return a function from an object to the ink of a stamp of it, in the drawing's own units."""

    def ink(drawn):
        root = made(drawn)
        stamp = benches.bench_of(root).stamp
        return stamp.inked, stamp.layout.scale * 1000.0

    return ink


def disc(**given):
    bpy.ops.mesh.primitive_circle_add(radius=0.2, vertices=64, fill_type="NGON", **given)
    return bpy.context.active_object


def scattered(drawn):
    """Give an object the host's nodes that put a disc on each of its points, beside what it is itself."""
    tree = bpy.data.node_groups.new("scatter", "GeometryNodeTree")
    for side in ("INPUT", "OUTPUT"):
        tree.interface.new_socket("Geometry", in_out=side, socket_type="NodeSocketGeometry")
    nodes, link = tree.nodes, tree.links.new
    given, wanted = nodes.new("NodeGroupInput"), nodes.new("NodeGroupOutput")
    circle, onto = nodes.new("GeometryNodeMeshCircle"), nodes.new("GeometryNodeInstanceOnPoints")
    both = nodes.new("GeometryNodeJoinGeometry")
    circle.fill_type = "NGON"
    circle.inputs["Vertices"].default_value, circle.inputs["Radius"].default_value = 64, 0.2
    link(given.outputs[0], onto.inputs["Points"])
    link(circle.outputs["Mesh"], onto.inputs["Instance"])
    link(given.outputs[0], both.inputs[0])
    link(onto.outputs[0], both.inputs[0])
    link(both.outputs[0], wanted.inputs[0])
    drawn.modifiers.new("scatter", "NODES").node_group = tree
    bpy.context.view_layer.update()


def test_instances_of_geometry_nodes_print_beside_the_objects_own_faces(scene, ink_of):
    bpy.ops.mesh.primitive_plane_add(size=1.0)
    plane = bpy.context.active_object
    scattered(plane)
    inked, scale = ink_of(plane)
    left, _, right, _ = inked.bounds
    assert right - left == pytest.approx(1.4 * scale, rel=0.01)
    assert inked.area / scale**2 == pytest.approx(1.0 + 4 * 0.75 * DISC, rel=0.01)


def test_vertex_instances_print_beside_the_instancers_own_faces(scene, ink_of):
    child = disc(location=(9.0, 9.0, 0.0))
    bpy.ops.mesh.primitive_plane_add(size=1.0)
    plane = bpy.context.active_object
    choose(plane, child)
    bpy.ops.object.parent_set(type="OBJECT")
    plane.instance_type = "VERTS"
    bpy.context.view_layer.update()
    inked, scale = ink_of(plane)
    left, _, right, _ = inked.bounds
    assert inked.area / scale**2 > 1.0 + 3 * DISC
    assert right - left > 1.4 * scale


def test_an_instancer_that_is_hidden_prints_its_instances_alone(scene, ink_of):
    child = disc()
    bpy.ops.mesh.primitive_plane_add(size=1.0)
    plane = bpy.context.active_object
    child.parent = plane
    plane.instance_type, plane.show_instancer_for_viewport = "VERTS", False
    bpy.context.view_layer.update()
    inked, scale = ink_of(plane)
    assert inked.area / scale**2 == pytest.approx(4 * DISC, rel=0.01)


@pytest.mark.parametrize("kind", ["text", "mesh"])
def test_an_instance_of_a_collection_prints_what_is_in_it(scene, ink_of, kind):
    if kind == "text":
        bpy.ops.object.text_add()
    else:
        bpy.ops.mesh.primitive_circle_add(fill_type="NGON")
    drawn = bpy.context.active_object
    held = bpy.data.collections.new("kept")
    held.objects.link(drawn)
    alone, scale = ink_of(drawn)
    area = alone.area / scale**2
    bpy.ops.object.collection_instance_add(collection="kept", location=(5.0, 0.0, 0.0))
    inked, scale = ink_of(bpy.context.active_object)
    assert inked.area / scale**2 == pytest.approx(area, rel=0.01)


def test_text_prints_once_though_the_host_shows_its_faces_as_an_instance(scene, ink_of):
    bpy.ops.object.text_add()
    drawn = bpy.context.active_object
    plain, scale = ink_of(drawn)
    scattered(drawn)
    inked, again = ink_of(drawn)
    assert inked.area / again**2 >= 0.9 * plain.area / scale**2


def test_what_is_instanced_is_followed(scene, live, benches):
    child = disc()
    bpy.ops.mesh.primitive_plane_add(size=1.0)
    plane = bpy.context.active_object
    child.parent = plane
    plane.instance_type = "VERTS"
    root = made(plane)
    before = benches.bench_of(root).stamp
    child.data.vertices[0].co.x += 0.3
    child.data.update_tag()
    bpy.context.view_layer.update()
    live.catch_up()
    assert benches.bench_of(root).stamp is not before


def ringed(*, beside):
    """Return a plane whose nodes make a ring of it, or put one round it."""
    bpy.ops.mesh.primitive_plane_add(size=1.0)
    plane = bpy.context.active_object
    tree = bpy.data.node_groups.new("ring", "GeometryNodeTree")
    for side in ("INPUT", "OUTPUT"):
        tree.interface.new_socket("Geometry", in_out=side, socket_type="NodeSocketGeometry")
    given, wanted = tree.nodes.new("NodeGroupInput"), tree.nodes.new("NodeGroupOutput")
    ring, both = tree.nodes.new("GeometryNodeCurvePrimitiveCircle"), tree.nodes.new("GeometryNodeJoinGeometry")
    ring.inputs["Resolution"].default_value, ring.inputs["Radius"].default_value = 256, 2.0
    if beside:
        tree.links.new(given.outputs[0], both.inputs[0])
    tree.links.new(ring.outputs[0], both.inputs[0])
    tree.links.new(both.outputs[0], wanted.inputs[0])
    plane.modifiers.new("ring", "NODES").node_group = tree
    bpy.context.view_layer.update()
    return plane


TELLS = hasattr(bpy.types.Object, "evaluated_geometry")


@pytest.mark.skipif(not TELLS, reason="this host does not tell the curves that nodes make")
@pytest.mark.parametrize("beside", [False, True])
def test_curves_that_geometry_nodes_make_print_as_lines(scene, ink_of, beside):
    inked, scale = ink_of(ringed(beside=beside))
    # A line of its usual millimetre, of which half lies outside the ring.
    left, _, right, _ = inked.bounds
    assert right - left == pytest.approx(4.0 * scale + 1.0, rel=0.01)
    assert inked.area == pytest.approx(2 * math.pi * 2.0 * scale + (scale**2 if beside else 0.0), rel=0.02)


@pytest.mark.skipif(TELLS, reason="this host tells the curves that nodes make")
def test_curves_of_geometry_nodes_that_cannot_be_read_are_told(scene, benches):
    root = made(ringed(beside=True))
    assert any("geometry nodes" in each.message for each in benches.bench_of(root).stamp.findings)
    with pytest.raises(RuntimeError, match="Curve to Mesh"):
        made(ringed(beside=False))


PENCIL_IN_NODES = hasattr(bpy.types, "GeometryNodeCurvesToGreasePencil")


def with_nodes(drawn, build):
    """Give an object nodes; ``build``: from the tree and what comes in to what goes out."""
    tree = bpy.data.node_groups.new("nodes", "GeometryNodeTree")
    for side in ("INPUT", "OUTPUT"):
        tree.interface.new_socket("Geometry", in_out=side, socket_type="NodeSocketGeometry")
    given, wanted = tree.nodes.new("NodeGroupInput"), tree.nodes.new("NodeGroupOutput")
    tree.links.new(build(tree, given.outputs[0]), wanted.inputs[0])
    drawn.modifiers.new("nodes", "NODES").node_group = tree
    bpy.context.view_layer.update()


def pencil_ring(tree, _given):
    """Draw a ring of radius 2 with the pencil, by nodes."""
    ring, pencil = (
        tree.nodes.new("GeometryNodeCurvePrimitiveCircle"),
        tree.nodes.new("GeometryNodeCurvesToGreasePencil"),
    )
    ring.inputs["Resolution"].default_value, ring.inputs["Radius"].default_value = 256, 2.0
    pencil.inputs["Instances as Layers"].default_value = False
    tree.links.new(ring.outputs[0], pencil.inputs[0])
    return pencil.outputs[0]


def test_an_instance_prints_also_where_its_curve_itself_would_be(scene, ink_of):
    """Nodes put a disc on nine points, in whose middle it was drawn, and do not leave it itself."""
    bpy.ops.curve.primitive_bezier_circle_add()
    drawn = bpy.context.active_object
    drawn.data.dimensions, drawn.data.fill_mode = "2D", "BOTH"

    def on_grid(tree, given):
        onto, grid = tree.nodes.new("GeometryNodeInstanceOnPoints"), tree.nodes.new("GeometryNodeMeshGrid")
        grid.inputs["Size X"].default_value = grid.inputs["Size Y"].default_value = 9.0
        tree.links.new(grid.outputs[0], onto.inputs["Points"])
        tree.links.new(given, onto.inputs["Instance"])
        return onto.outputs[0]

    with_nodes(drawn, on_grid)
    inked, scale = ink_of(drawn)
    assert len(inked.geoms) == 9
    assert inked.area / scale**2 == pytest.approx(9 * math.pi, rel=0.01)


@pytest.mark.skipif(not PENCIL_IN_NODES, reason="nodes of this host draw nothing with the pencil")
@pytest.mark.parametrize("kind", ["mesh", "curve", "text"])
def test_what_nodes_draw_with_the_pencil_prints_as_the_host_draws_it(scene, ink_of, kind):
    """A pencil line without a radius of its own is drawn as broad as the host's usual one, 0.01 to each side."""
    ops = bpy.ops
    {"mesh": ops.mesh.primitive_plane_add, "curve": ops.curve.primitive_bezier_circle_add, "text": ops.object.text_add}[
        kind
    ]()
    drawn = bpy.context.active_object
    with_nodes(drawn, pencil_ring)
    inked, scale = ink_of(drawn)
    left, _, right, _ = inked.bounds
    assert right - left == pytest.approx(4.02 * scale, rel=0.01)
    assert inked.area / scale**2 == pytest.approx(2 * math.pi * 2.0 * 0.02, rel=0.02)


@pytest.mark.skipif(not PENCIL_IN_NODES, reason="nodes of this host know no pencil")
def test_a_pencil_drawing_that_nodes_put_on_points_or_make_a_mesh_of_prints(scene, ink_of):
    bpy.ops.object.grease_pencil_add(type="STROKE", rotation=(-math.pi / 2, 0.0, 0.0))
    pencil = bpy.context.active_object
    alone, scale = ink_of(pencil)
    alone = alone.area / scale**2
    bpy.ops.mesh.primitive_plane_add(size=20.0)
    plane = bpy.context.active_object

    def on_points(tree, given):
        onto, told = tree.nodes.new("GeometryNodeInstanceOnPoints"), tree.nodes.new("GeometryNodeObjectInfo")
        told.inputs["Object"].default_value = pencil
        tree.links.new(given, onto.inputs["Points"])
        tree.links.new(told.outputs["Geometry"], onto.inputs["Instance"])
        return onto.outputs[0]

    def filled(tree, given):
        curves, whole = (
            tree.nodes.new("GeometryNodeGreasePencilToCurves"),
            tree.nodes.new("GeometryNodeRealizeInstances"),
        )
        pipe, profile = tree.nodes.new("GeometryNodeCurveToMesh"), tree.nodes.new("GeometryNodeCurvePrimitiveCircle")
        profile.inputs["Radius"].default_value = 0.1
        for one, other in ((given, curves), (curves.outputs[0], whole), (whole.outputs[0], pipe)):
            tree.links.new(one, other.inputs[0])
        tree.links.new(profile.outputs[0], pipe.inputs["Profile Curve"])
        return pipe.outputs[0]

    with_nodes(plane, on_points)
    inked, scale = ink_of(plane)
    # Object Info gives what it names as it lies in itself: upright, and turned by nothing, it is seen from its front.
    assert len(getattr(inked, "geoms", [])) >= 4
    assert inked.area / scale**2 > 0.5 * alone
    with_nodes(pencil, filled)
    inked, scale = ink_of(pencil)
    left, _, right, _ = inked.bounds
    assert inked.area / scale**2 == pytest.approx(0.2 * (right - left) / scale, rel=0.6)


@pytest.mark.skipif(not PENCIL_IN_NODES, reason="nodes of this host know no pencil")
def test_curves_that_nodes_make_of_a_pencil_drawing_print_as_broad_as_it_was_drawn(scene, ink_of):
    bpy.ops.object.grease_pencil_add(type="STROKE", rotation=(-math.pi / 2, 0.0, 0.0))
    pencil = bpy.context.active_object
    drawn, scale = ink_of(pencil)

    def as_curves(tree, given):
        curves = tree.nodes.new("GeometryNodeGreasePencilToCurves")
        tree.links.new(given, curves.inputs[0])
        return curves.outputs[0]

    with_nodes(pencil, as_curves)
    inked, again = ink_of(pencil)
    assert again == pytest.approx(scale, rel=1e-3)
    assert inked.symmetric_difference(drawn).area < 0.02 * drawn.area


@pytest.mark.skipif(not TELLS, reason="this host does not tell the curves that nodes make")
def test_curves_that_nodes_put_on_points_print_where_they_stand(scene, ink_of):
    bpy.ops.mesh.primitive_plane_add(size=10.0)
    plane = bpy.context.active_object

    def rings(tree, given):
        onto, ring = tree.nodes.new("GeometryNodeInstanceOnPoints"), tree.nodes.new("GeometryNodeCurvePrimitiveCircle")
        tree.links.new(given, onto.inputs["Points"])
        tree.links.new(ring.outputs[0], onto.inputs["Instance"])
        onto.inputs["Scale"].default_value = (2.0, 2.0, 2.0)
        return onto.outputs[0]

    with_nodes(plane, rings)
    inked, scale = ink_of(plane)
    left, bottom, right, top = inked.bounds
    # Rings of radius 2 on the corners of a square of 10, drawn with a pen of a millimetre on paper.
    assert right - left == pytest.approx(14.0 * scale + 1.0, rel=0.01)
    assert top - bottom == pytest.approx(14.0 * scale + 1.0, rel=0.01)
    assert len(inked.geoms) == 4
