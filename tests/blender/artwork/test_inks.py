"""A stamp for each material of the artwork: held in register by one gauge, proven in colour, written together."""

import json

import bpy
import numpy as np
import pytest
from drawing import choose, circle, made, part, plane

RED, GREEN, WHITE = (0.6, 0.02, 0.02), (0.01, 0.14, 0.04), (1.0, 1.0, 1.0)


def painted(name, ring, colour, height=0.0):
    """Return a flat mesh of a material of its own, so high."""
    drawn = plane(name, ring)
    material = bpy.data.materials.new(f"{name} paint")
    material.diffuse_color = (*colour, 1.0)
    drawn.data.materials.append(material)
    drawn.location.z = height
    return drawn


@pytest.fixture
def drawn(scene):
    """Return a red disc, a green square that lies over part of it, and a white dot on top."""
    return (
        painted("disc", circle(10.0), RED),
        painted("square", [(0, -6), (14, -6), (14, 6), (0, 6)], GREEN, 0.1),
        painted("dot", circle(2.0, middle=(7.0, 0.0)), WHITE, 0.2),
    )


@pytest.fixture
def parted(drawn):
    """Return the stamps of the set, in printing order."""
    root = made(*drawn)
    root.stampwright.handle.form = "none"
    assert bpy.ops.stampwright.part_into_inks() == {"FINISHED"}
    return members(root)


def members(root):
    name = root.stampwright.plate.belongs_to
    found = [each for each in bpy.context.scene.objects if each.stampwright.plate.belongs_to == name]
    return sorted(found, key=lambda each: each.stampwright.plate.order)


def ink_areas(benches, roots):
    return {root.stampwright.plate.ink: benches.bench_of(root).stamp.inked.area for root in roots}


def test_each_material_has_its_stamp_and_what_lies_higher_hides_what_lies_lower(parted, benches):
    assert [root.stampwright.plate.ink for root in parted] == ["disc-paint", "square-paint"]
    stamps = [benches.bench_of(root).stamp for root in parted]
    scale = stamps[0].layout.base.area / stamps[1].layout.base.area
    assert scale == pytest.approx(1.0)
    areas = ink_areas(benches, parted)
    # The square of 168 less the dot of 4 pi, beside the disc of 100 pi less what the square hides of it, and its trap.
    assert areas["square-paint"] / areas["disc-paint"] == pytest.approx((168 - 12.6) / (314 - 110), rel=0.12)
    _have_one_keyed_backing_and_a_gauge(parted, benches)
    _are_proven_in_colour(parted)


def _have_one_keyed_backing_and_a_gauge(parted, benches):
    one, other = (benches.bench_of(root).stamp.backing for root in parted)
    assert np.array_equal(one.vertices, other.vertices)
    assert part(parted[0], "gauge") is not None
    assert part(parted[1], "gauge") is None
    # The frame stands on the table round the stamp, upper side up.
    heights = np.array(
        [(part(parted[0], "gauge").matrix_world @ v.co).z for v in part(parted[0], "gauge").data.vertices]
    )
    assert heights.min() == pytest.approx(0.0, abs=1e-3)


def _are_proven_in_colour(parted):
    sheet = part(parted[0], "in colour")
    image = next(node.image for node in sheet.data.materials[0].node_tree.nodes if node.type == "TEX_IMAGE")
    pixels = np.array(image.pixels).reshape(-1, 4)[:, :3]
    reds = (pixels[:, 0] > 0.7) & (pixels[:, 1] < 0.3)
    greens = (pixels[:, 1] > pixels[:, 0] + 0.2) & (pixels[:, 1] > pixels[:, 2] + 0.05)
    assert reds.mean() > 0.1
    assert greens.mean() > 0.1
    assert f"{parted[0].name} worst miss" in bpy.data.images
    size = max(corner[0] for corner in sheet.bound_box) - min(corner[0] for corner in sheet.bound_box)
    assert 20.0 < size * 1000 * bpy.context.scene.unit_settings.scale_length < 60.0


def test_settings_of_one_are_settings_of_all_and_inks_stay_their_own(parted, drawn, benches):
    parted[1].stampwright.die.relief = 1.6
    parted[1].stampwright.plate.colour = (0.1, 0.1, 0.4)
    assert parted[0].stampwright.die.relief == pytest.approx(1.6)
    assert parted[0].stampwright.plate.colour[0] > 0.5
    assert bpy.ops.stampwright.prove_inks() == {"FINISHED"}
    assert {round(benches.bench_of(root).stamp.job.die.relief, 3) for root in parted} == {1.6}
    assert benches.bench_of(parted[1]).stamp.job.ink.colour == "#1a1a66"
    # They follow their artwork together.
    before = ink_areas(benches, parted)
    drawn[1].location.x += 30.0
    bpy.context.view_layer.update()
    assert bpy.ops.stampwright.prove_inks() == {"FINISHED"}
    after = ink_areas(benches, parted)
    assert after["disc-paint"] / after["square-paint"] > 1.2 * before["disc-paint"] / before["square-paint"]


def test_a_set_is_written_as_one_folder_and_made_again_from_it(parted, tmp_path, core):
    choose(parted[1])
    assert bpy.ops.stampwright.export_files(directory=str(tmp_path)) == {"FINISHED"}
    (folder,) = tmp_path.iterdir()
    names = {path.name for path in folder.iterdir()}
    assert {
        "disc-paint",
        "square-paint",
        "gauge.stl",
        "impression.png",
        "proof.svg",
        "ticket.html",
        "job.json",
    } <= names
    assert {"die.stl", "backing.stl", "ticket.html"} <= {path.name for path in (folder / "disc-paint").iterdir()}
    again = core("job.written.files").read_job(folder / "job.json")
    sets = core("sets")
    twice, written = sets.make_set_files(again, sets.coloured_of(again), tmp_path / "again")
    assert written is not None, [each.message for each in twice.blocked]
    for name in ("disc-paint/die.stl", "square-paint/die.stl", "gauge.stl"):
        first, second = (core("files").read_stl(place / name) for place in (folder, tmp_path / "again"))
        assert first.volume == pytest.approx(second.volume, rel=2e-3), name
    assert json.loads((folder / "report.json").read_text())["gauge"] is not None


def test_art_of_one_material_is_not_parted_and_says_so(scene, benches):
    root = made(painted("disc", circle(10.0), RED), painted("dot", circle(2.0), WHITE, 0.1))
    with pytest.raises(RuntimeError, match="it takes one ink"):
        bpy.ops.stampwright.part_into_inks()
    assert not root.stampwright.plate.belongs_to


def test_art_without_a_material_is_not_parted_and_says_so(scene):
    made(plane("bare", circle(10.0)))
    with pytest.raises(RuntimeError, match="nothing has a material"):
        bpy.ops.stampwright.part_into_inks()


def test_a_new_material_is_told_and_parted_again_keeps_what_was_chosen(parted, drawn, benches):
    parted[0].stampwright.plate.colour = (0.2, 0.2, 0.6)
    bar = painted("bar", [(-14, 8), (-11, 8), (-11, 14), (-14, 14)], (0.3, 0.2, 0.02), 0.3)
    choose(bar, parted[0])
    bpy.context.view_layer.objects.active = parted[0]
    with pytest.raises(RuntimeError, match="has the material bar paint, too"):
        bpy.ops.stampwright.add_artwork()
    assert bpy.ops.stampwright.part_into_inks() == {"FINISHED"}
    inks = {root.stampwright.plate.ink: root for root in members(parted[0])}
    assert set(inks) == {"disc-paint", "square-paint", "bar-paint"}
    assert sorted(root.stampwright.plate.order for root in inks.values()) == [1, 2, 3]
    assert inks["disc-paint"].stampwright.plate.colour[2] == pytest.approx(0.6)
    _are_pictured_each_in_its_ink_on_all_of_them([inks["disc-paint"], inks["square-paint"]])


def test_one_ink_again_leaves_one_stamp_of_all_the_art(parted, benches):
    count = sum(each.stampwright.role == "stamp" for each in bpy.context.scene.objects)
    choose(parted[0])
    assert bpy.ops.stampwright.print_in_one_ink() == {"FINISHED"}
    assert sum(each.stampwright.role == "stamp" for each in bpy.context.scene.objects) == count - 1
    assert part(parted[0], "gauge") is None
    whole = benches.bench_of(parted[0]).stamp.inked
    left, bottom, right, top = whole.bounds
    assert (right - left) / (top - bottom) == pytest.approx(24 / 20, rel=0.02)


def _are_pictured_each_in_its_ink_on_all_of_them(parted):
    lead = members(parted[0])[0].name
    choose(parted[1])
    assert bpy.ops.stampwright.picture_beside() == {"FINISHED"}
    stage = next(each for each in bpy.data.scenes if "beside" in each.name)
    sheet = next(each for each in stage.objects if each.name.endswith("paper on stage"))
    pictures = [node.image.name for node in sheet.data.materials[0].node_tree.nodes if node.type == "TEX_IMAGE"]
    assert pictures == [f"{lead} in register"]
    felt = next(each for each in stage.objects if each.name.endswith("felt") or "felt" in each.name.lower())
    ink = felt.data.materials[0].node_tree.nodes["Ink Colour"].outputs[0].default_value
    assert ink[1] > ink[0]
