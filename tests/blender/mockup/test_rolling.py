"""The press film of rockers and rollers: the face stays on the paper while it rolls, as far as its print is long."""

from itertools import combinations

import bpy
import numpy as np
import pytest
from drawing import curve
from mathutils import Vector
from picturing import make_stamp, picture, ready, shown
from shapely import MultiPoint


def lowest(scene, frame):
    """Return the height of the die's lowest point, m, and where that is, at a frame."""
    scene.frame_set(frame)
    die = next(each for each in scene.objects if each.get("stampwright_picture") == "die" or "die" in each.name.lower())
    graph = scene.view_layers[0].depsgraph
    graph.update()
    shown = die.evaluated_get(graph)
    places = np.empty(3 * len(shown.data.vertices))
    shown.data.vertices.foreach_get("co", places)
    world = np.array(shown.matrix_world)
    spots = places.reshape(-1, 3) @ world[:3, :3].T + world[:3, 3]
    return spots[:, 2].min(), spots[spots[:, 2].argmin()]


def reach(scene, frame, role):
    """Return how far the points of a part reach down and up over the table at a frame, m."""
    scene.frame_set(frame)
    part = next(each for each in scene.objects if each.get("stampwright_picture") == role)
    graph = scene.view_layers[0].depsgraph
    graph.update()
    shown = part.evaluated_get(graph)
    world = np.array(shown.matrix_world)
    places = np.empty(3 * len(shown.data.vertices))
    shown.data.vertices.foreach_get("co", places)
    heights = places.reshape(-1, 3) @ world[2, :3] + world[2, 3]
    return heights.min(), heights.max()


@pytest.mark.parametrize("rolls", ["across", "up"])
def test_the_fork_of_a_roller_stays_up_while_its_drum_turns(scene, rolls):
    root = make_stamp()
    bend = root.stampwright.bend
    # A print that goes nearly all the way round: turned with the drum, the fork would dive under the paper.
    bend.form, bend.rolls, bend.repeat, bend.band = "roller", rolls, 60.0, 60.0
    root.stampwright.layout.size_by = "fit"
    bpy.ops.stampwright.build()
    assert bpy.ops.stampwright.film_press() == {"FINISHED"}
    film = bpy.context.scene
    at = [1 + round(share * (film.frame_end - 1)) for share in (0.16, 0.39, 0.62)]
    forks = [reach(film, frame, "handle") for frame in at]
    assert all(low > 0.0 for low, _ in forks)
    assert forks[0] == pytest.approx(forks[1], abs=2e-4)
    assert forks[0] == pytest.approx(forks[2], abs=2e-4)
    dies = [lowest(film, frame)[0] for frame in at]
    assert all(-2e-4 < low < 2.3e-3 for low in dies)


@pytest.mark.sweep(2)
@pytest.mark.parametrize("form", ["rocker", "roller"])
@pytest.mark.parametrize("rolls", ["across", "up"])
def test_a_curved_face_rolls_over_the_paper(scene, form, rolls):
    root = make_stamp()
    root.stampwright.bend.form, root.stampwright.bend.rolls = form, rolls
    bpy.ops.stampwright.build()
    assert bpy.ops.stampwright.film_press() == {"FINISHED"}
    film = bpy.context.scene
    frames = film.frame_end
    above, _ = lowest(film, 1)
    on_paper = [lowest(film, 1 + round(share * (frames - 1))) for share in (0.25, 0.4, 0.55)]
    assert above > 0.002
    # Between inked lines the chord of the face leaves the paper a little, by no more than the relief is high.
    assert all(-2e-4 < low < 2.3e-3 for low, _ in on_paper)
    way = on_paper[2][1] - on_paper[0][1]
    axis = 1 if rolls == "up" else 0
    assert abs(way[axis]) > 0.005


@pytest.mark.parametrize("form", ["rocker", "roller"])
def test_what_rolls_is_in_the_picture_all_along_its_way(scene, mockup, form):
    # Long, so that it rolls far and leans much.
    curve("bars", *([(x, 0.0), (x + 0.006, 0.0), (x + 0.006, 0.02), (x, 0.02)] for x in (0.0, 0.035, 0.07)))
    bpy.ops.stampwright.make_stamp()
    root = ready(bpy.context.active_object)
    root.stampwright.pictures.width, root.stampwright.pictures.height = 192, 108
    root.stampwright.layout.size_by = "page"
    root.stampwright.base.outline, root.stampwright.base.width, root.stampwright.base.height = "rectangle", 82.0, 24.0
    root.stampwright.bend.form, root.stampwright.bend.radius, root.stampwright.bend.repeat = form, 60.0, 100.0
    root.stampwright.handle.form, root.stampwright.handle.height = "block", 32.0
    bpy.ops.stampwright.build()
    assert bpy.ops.stampwright.film_press() == {"FINISHED"}
    film = bpy.context.scene
    for frame in np.linspace(1, film.frame_end, 8).round().astype(int).tolist():
        film.frame_set(frame)
        places = shown(film, mockup, "die", "backing", "handle")
        assert places.min() > 0.0
        assert places.max() < 1.0


def test_a_roller_that_comes_together_in_an_upright_picture_stays_over_the_table(scene):
    root = make_stamp()
    bend = root.stampwright.bend
    bend.form, bend.rolls, bend.repeat, bend.band = "roller", "up", 100.0, 70.0
    root.stampwright.pictures.width, root.stampwright.pictures.height = 90, 270
    bpy.ops.stampwright.build()
    assert bpy.ops.stampwright.film_apart() == {"FINISHED"}
    film = bpy.context.scene
    for frame in np.linspace(1, film.frame_end, 6).round().astype(int).tolist():
        assert min(reach(film, frame, part)[0] for part in ("die", "backing", "handle")) > 0.0


@pytest.mark.parametrize("size", [(192, 108), (108, 192)], ids=["wide", "upright"])
def test_drum_and_die_of_a_roller_are_drawn_apart(scene, mockup, size):
    root = make_stamp()
    root.stampwright.bend.form, root.stampwright.bend.repeat = "roller", 100.0
    root.stampwright.pictures.width, root.stampwright.pictures.height = size
    bpy.ops.stampwright.build()
    shot = picture("apart")
    outlines = [MultiPoint(shown(shot, mockup, name)).convex_hull for name in ("die", "backing", "handle", "sheet")]
    assert not [pair for pair in combinations(outlines, 2) if pair[0].intersects(pair[1])]


def test_a_printed_sheet_slides_past_the_pad(scene, mockup):
    root = make_stamp()
    root.stampwright.base.outline, root.stampwright.base.width, root.stampwright.base.height = "rectangle", 90.0, 18.0
    root.stampwright.handle.form = "block"
    for size in ((300, 100), (192, 108), (150, 120), (128, 128)):
        root.stampwright.pictures.width, root.stampwright.pictures.height = size
        assert bpy.ops.stampwright.film_press() == {"FINISHED"}
        film = bpy.context.scene
        film.view_layers[0].update()
        places = {}
        for role in ("sheet", "pad"):
            part = next(each for each in film.objects if each.get("stampwright_picture") == role)
            places[role] = [(part.matrix_world @ Vector(corner)).y for corner in part.bound_box]
        assert min(places["pad"]) > max(places["sheet"]) or max(places["pad"]) < min(places["sheet"])
