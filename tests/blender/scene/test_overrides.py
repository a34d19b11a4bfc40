"""A stamp that is linked from another file and overridden by the host's own operator is changed, built and kept."""

import bpy
import numpy as np
import pytest
from drawing import choose, curve, letter_f, link, made, part, text
from timer import tick_until_done


def overridden(folder, extra=()):
    """Save the file, link its stamp into a new one by an instance, and override it; return its root there."""
    library = str(folder / "library.blend")
    bpy.ops.wm.save_as_mainfile(filepath=library)
    bpy.ops.wm.read_homefile(use_empty=True)
    with bpy.data.libraries.load(library, link=True) as (there, here):
        here.collections = [each for each in there.collections if each.startswith("Stamp")]
    shown = link("Shown", None)
    shown.instance_type, shown.instance_collection = "COLLECTION", here.collections[0]
    choose(shown)
    assert bpy.ops.object.make_override_library() == {"FINISHED"}
    root = the_stamp()
    choose(root)
    return root


def the_stamp():
    (root,) = [each for each in bpy.data.objects if each.stampwright.role == "stamp" and each.library is None]
    return root


def again(folder):
    """Save the file, open it once more, and return the root of the stamp in it."""
    bpy.ops.wm.save_as_mainfile(filepath=str(folder / "use.blend"))
    bpy.ops.wm.open_mainfile(filepath=str(folder / "use.blend"))
    root = the_stamp()
    choose(root)
    return root


def size_of(child):
    corners = np.array([vertex.co[:] for vertex in child.data.vertices]) * 1000
    return np.round(np.ptp(corners, axis=0), 2).tolist()


def roles(root):
    """Return what a stamp shows, by its parts' names."""
    return {child.stampwright.role for child in root.children if len(child.data.vertices)}


@pytest.fixture
def root(scene, small_stamps, tmp_path):
    made(text("Seed"))
    return overridden(tmp_path)


def test_a_setting_of_an_override_is_built_and_there_again_when_the_file_is_opened(root, live, tmp_path):
    before = size_of(part(root, "die"))
    root.stampwright.die.relief = 3.0
    root.stampwright.base.width = 40.0
    live.catch_up()
    built = size_of(part(root, "die"))
    assert built[2] == pytest.approx(before[2] + 1.0, abs=0.01)
    assert built[0] == pytest.approx(40.0, abs=0.02)
    root = again(tmp_path)
    assert (root.stampwright.die.relief, root.stampwright.base.width) == (3.0, 40.0)
    assert size_of(part(root, "die")) == built
    assert root.stampwright.built
    live.catch_up()
    assert size_of(part(root, "die")) == built
    (linked,) = [each for each in bpy.data.objects if each.stampwright.role == "stamp" and each.library is not None]
    assert linked.stampwright.base.width == 25.0
    assert size_of(part(linked, "die")) == before


def test_a_part_that_an_override_does_without_stays_away(root, live, tmp_path):
    root.stampwright.handle.form = "none"
    root.stampwright.paper = False
    root.stampwright.cushion.thickness = 2.0
    live.catch_up()
    assert roles(root) == {"die", "cushion", "backing"}
    root = again(tmp_path)
    assert roles(root) == {"die", "cushion", "backing"}
    root.stampwright.handle.form = "block"
    root.stampwright.paper = True
    root.stampwright.cushion.thickness = 0.0
    live.catch_up()
    assert roles(root) == {"die", "backing", "handle", "paper"}
    assert len([child for child in root.children if child.stampwright.role == "handle"]) == 1


def test_artwork_of_an_override_is_added_and_taken_off_for_good(root, live, tmp_path):
    extra = curve("F", letter_f(0.2))
    choose(root, extra)
    assert bpy.ops.stampwright.add_artwork() == {"FINISHED"}
    choose(root)
    root.stampwright.active_source = 0
    assert bpy.ops.stampwright.remove_artwork() == {"FINISHED"}
    root = again(tmp_path)
    assert [source.object.name for source in root.stampwright.sources if source.object is not None] == ["F"]
    assert bpy.ops.stampwright.build() == {"FINISHED"}


def test_art_that_the_library_changes_is_followed_when_the_file_is_opened(root, live, tmp_path):
    root.stampwright.die.relief = 3.0
    live.catch_up()
    before = len(part(root, "die").data.vertices)
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "use.blend"))
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "library.blend"))
    bpy.data.objects["Seed"].data.body = "Seed & Leaf"
    live.catch_up()
    bpy.ops.wm.save_mainfile()
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "use.blend"))
    root = the_stamp()
    live.catch_up()
    assert root.stampwright.die.relief == 3.0
    assert len(part(root, "die").data.vertices) > before


def test_an_override_is_locked_as_the_host_made_it_until_it_is_unlocked(root):
    assert root.override_library.is_system_override
    assert bpy.ops.stampwright.unlock_override() == {"FINISHED"}
    assert not root.override_library.is_system_override
    assert not part(root, "die").override_library.is_system_override


def test_a_copy_of_an_override_by_the_hosts_own_means_takes_its_parts_along(root, live):
    assert bpy.ops.stampwright.unlock_override() == {"FINISHED"}
    choose(root, *root.children)
    assert bpy.ops.object.duplicate() == {"FINISHED"}
    live.catch_up()
    (twin,) = [each for each in bpy.context.selected_objects if each.stampwright.role == "stamp"]
    bpy.context.view_layer.update()
    tick_until_done(live)
    twin.stampwright.base.width = 35.0
    live.catch_up()
    for each, across in ((root, 25.0), (twin, 35.0)):
        assert sorted(child.stampwright.role for child in each.children) == ["backing", "die", "handle", "paper"]
        assert size_of(part(each, "die"))[0] == pytest.approx(across, abs=0.02)


def test_a_sculpt_is_refused_where_it_would_be_lost(root):
    with pytest.raises(RuntimeError, match="cannot keep another sculpt"):
        bpy.ops.stampwright.sculpt_face()
    assert root.mode == "OBJECT"


def test_an_override_is_duplicated_as_a_stamp_of_this_file(root, live, tmp_path):
    assert bpy.ops.stampwright.duplicate_stamp() == {"FINISHED"}
    twin = bpy.context.active_object
    assert twin.override_library is None
    twin.stampwright.base.width = 30.0
    live.catch_up()
    assert size_of(part(root, "die"))[0] == pytest.approx(25.0, abs=0.02)
    name = twin.name
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "use.blend"))
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "use.blend"))
    assert size_of(part(bpy.data.objects[name], "die"))[0] == pytest.approx(30.0, abs=0.02)


def test_an_override_is_deleted_and_stays_away(root, tmp_path):
    assert bpy.ops.stampwright.delete_stamp() == {"FINISHED"}
    bpy.ops.wm.save_as_mainfile(filepath=str(tmp_path / "use.blend"))
    bpy.ops.wm.open_mainfile(filepath=str(tmp_path / "use.blend"))
    assert not [each for each in bpy.data.objects if each.stampwright.role and each.library is None]


def test_a_sheet_of_an_override_goes_on_standing_clear(root, live, tmp_path):
    root.stampwright.base.width = 60.0
    live.catch_up()
    at = part(root, "paper").location.x
    root = again(tmp_path)
    assert part(root, "paper").location.x == pytest.approx(at)
    root.stampwright.base.width = 90.0
    live.catch_up()
    assert part(root, "paper").location.x > at
