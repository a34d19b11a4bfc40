"""Stamps are where people look for them: menus, right click, keys, tools, the manual, help; and are handled whole."""

import importlib
import re
from fnmatch import fnmatchcase
from pathlib import Path
from types import SimpleNamespace
from urllib.parse import unquote, urlparse

import bpy
import pytest
from drawing import choose, curve, letter_f, made, part
from names import MODULE, ROOT
from PIL import Image

PLACES = (
    "VIEW3D_MT_add",
    "VIEW3D_MT_object",
    "VIEW3D_MT_object_context_menu",
    "TOPBAR_MT_file_import",
    "TOPBAR_MT_file_export",
)


class _Opening(SimpleNamespace):
    """Stands in for the operator that opens a panel: its name is what is found by the label."""

    def __init__(self, found, label) -> None:
        self.__dict__["note"] = lambda name: found.update({label: name})

    def __setattr__(self, about, value):
        if about == "name":
            self.note(value)


class Noted:
    """Stands in for a menu's layout: notes the operators, by what they are called there, and opens sub-menus."""

    def __init__(self) -> None:
        self.found: dict[str, str] = {}

    def operator(self, name, text=None, **_about):
        if name == "wm.call_panel":
            return _Opening(self.found, text)
        kind = getattr(bpy.types, "STAMPWRIGHT_OT_" + name.partition(".")[2])
        self.found[text or kind.bl_label] = name
        return SimpleNamespace()

    def menu(self, name, **_about):
        getattr(bpy.types, name).draw(SimpleNamespace(layout=self), bpy.context)

    def __getattr__(self, _name):
        return lambda *_about, **_more: None


def entries(place):
    """Return what our own entries in a menu of the host offer, operators by label."""
    noted = Noted()
    for draw in getattr(bpy.types, place).draw._draw_funcs:
        if draw.__module__.startswith(MODULE):
            draw(SimpleNamespace(layout=noted), bpy.context)
    return noted.found


def groups():
    """Return our groups of properties, which the host does not list among its types."""
    kinds = bpy.types.PropertyGroup.__subclasses__()
    return [each for each in kinds if each.__name__.startswith("STAMPWRIGHT_") and each.is_registered]


@pytest.fixture
def root(scene):
    return made(curve("F", letter_f()))


def test_every_place_offers_stamps_before_there_is_one(scene):
    offered = {place: set(entries(place).values()) for place in PLACES}
    new = {"stampwright.make_stamp", "stampwright.stamp_from_template", "stampwright.import_artwork"}
    assert offered["VIEW3D_MT_add"] == new
    assert "stampwright.make_stamp" in offered["VIEW3D_MT_object"]
    assert "stampwright.make_stamp" in offered["VIEW3D_MT_object_context_menu"]
    assert offered["TOPBAR_MT_file_import"] == {"stampwright.import_artwork"}
    assert offered["TOPBAR_MT_file_export"] == {"stampwright.export_files", "stampwright.export_finished"}


SOUGHT = {
    "stampwright.make_stamp": ("stamp", "rubber"),
    "stampwright.stamp_from_template": ("text", "address", "qr code", "template"),
    "stampwright.import_artwork": ("logo", "image", "scan", "svg"),
    "stampwright.repair": ("thin lines", "gaps"),
    "stampwright.press": ("press",),
    "stampwright.sculpt_face": ("sculpt", "relief"),
    "stampwright.picture_beside": ("product",),
    "stampwright.export_files": ("stl", "3mf", "3d print"),
    "stampwright.duplicate_stamp": ("duplicate",),
    "stampwright.delete_stamp": ("delete",),
    "STAMPWRIGHT_PT_reversal": ("mirror", "flip", "reverse"),
    "STAMPWRIGHT_PT_base": ("size", "shape", "border", "roller"),
    "STAMPWRIGHT_PT_artwork": ("font", "margin", "turn"),
    "STAMPWRIGHT_PT_ink_choice": ("colours", "layers"),
    "STAMPWRIGHT_PT_inks": ("two colours",),
    "STAMPWRIGHT_PT_findings": ("check",),
    "STAMPWRIGHT_PT_press": ("preview", "impression", "push"),
    "STAMPWRIGHT_PT_ink": ("ink", "paper", "pad"),
    "STAMPWRIGHT_PT_die": ("emboss", "relief", "rubber"),
    "STAMPWRIGHT_PT_face": ("texture", "engrave"),
    "STAMPWRIGHT_PT_backing": ("glue", "cushion"),
    "STAMPWRIGHT_PT_handle": ("handle", "knob", "grip", "hollow"),
    "STAMPWRIGHT_PT_printer": ("nozzle", "filament", "printer"),
    "STAMPWRIGHT_PT_price": ("price",),
    "STAMPWRIGHT_PT_measures": ("weight", "cost", "time"),
    "STAMPWRIGHT_PT_prints": ("calibrate", "g-code", "test die"),
    "STAMPWRIGHT_PT_pictures": ("render", "mock-up", "film"),
}
"""What artists type into the search of menus, by what they are after."""


@pytest.mark.parametrize("wanted", SOUGHT)
def test_words_that_artists_type_lead_to_what_they_are_after(root, wanted):
    found = [label.lower().split() for place in PLACES for label, name in entries(place).items() if name == wanted]
    assert found, wanted
    for typed in SOUGHT[wanted]:
        # As the host searches: each word is the beginning of one in the entry, whatever stands round it.
        assert any(
            all(any(word.strip("(.:,").startswith(each) for word in label) for each in typed.split()) for label in found
        ), typed


def test_what_a_menu_opens_is_a_panel_that_is_there(root):
    opened = {name for place in PLACES for name in entries(place).values() if name.startswith("STAMPWRIGHT_PT_")}
    assert len(opened) > 12
    for name in opened:
        assert getattr(bpy.types, name).poll(bpy.context), name


def test_who_looks_for_a_mirror_is_told_that_a_stamp_is_reversed_by_itself(root):
    shown = []
    layout = Noted()
    layout.label = lambda text="", **_about: shown.append(text)
    layout.prop = lambda _held, name, **_about: shown.append(name)
    layout.column = lambda **_about: layout
    panel = bpy.types.STAMPWRIGHT_PT_reversal
    panel.show(SimpleNamespace(bl_label="", subject="reversal"), layout, root, root.stampwright)
    assert "reversed once, by itself" in " ".join(shown)
    assert "mirror" in shown
    assert not root.stampwright.layout.mirror


def test_all_that_menus_offer_can_be_called(root):
    for place in PLACES:
        for name in (each for each in entries(place).values() if "." in each):
            operator = getattr(bpy.ops.stampwright, name.partition(".")[2])
            assert operator.get_rna_type().description, name


def test_keys_are_in_the_hosts_keymap_and_take_none_by_themselves(extension):
    keys = bpy.context.window_manager.keyconfigs.addon
    ours = [item for keymap in keys.keymaps for item in keymap.keymap_items if "stampwright" in item.idname]
    assert {"stampwright.make_stamp", "stampwright.build", "stampwright.export_files"} <= {each.idname for each in ours}
    assert {each.type for each in ours} == {"NONE"}


def test_the_toolbar_has_a_tool_that_shows_the_chief_figures(root, extension):
    from bl_ui.space_toolsystem_common import ToolSelectPanelHelper

    tools = ToolSelectPanelHelper._tool_class_from_space_type("VIEW_3D")
    assert any(
        each is not None and each.idname == "stampwright.stamp"
        for each in ToolSelectPanelHelper._tools_flatten(tools._tools["OBJECT"])
    )
    tool = importlib.import_module(f"{MODULE}.menus.tool").StampTool
    shown = []
    layout = SimpleNamespace(prop=lambda _held, name, **_about: shown.append(name))
    tool.draw_settings(bpy.context, layout, None)
    assert shown == ["width", "height", "relief", "turn"]


@pytest.fixture(scope="module")
def packed(tmp_path_factory):
    """The guide's pages as they are packed."""
    folder = tmp_path_factory.mktemp("guide") / "pages"
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(ROOT / "blender_addon" / "packing")
        importlib.import_module("pages").write_pages(ROOT / "shared" / "guide", folder)
    return folder


@pytest.fixture(params=["packed", "from source"])
def guide(extension, packed, request, tmp_path, monkeypatch):
    """The room that knows the pages, with pages as the package has them, or as a source tree has."""
    room = importlib.import_module(f"{MODULE}.guide")
    if request.param == "packed":
        monkeypatch.setattr(room, "PAGES", packed)
    else:
        monkeypatch.setattr(room, "PAGES", tmp_path / "none")
        monkeypatch.setattr(room, "SOURCES", ROOT / "shared" / "guide")
    return room


def test_a_picture_without_a_ground_has_none_in_the_packed_guide(packed):
    with Image.open(packed / "product-cut-out.webp") as picture:
        assert picture.mode == "RGBA"
        assert picture.getpixel((2, 2))[3] == 0


def page_and_heading(address):
    parts = urlparse(address)
    return Path(unquote(parts.path)), parts.fragment


def test_help_leads_to_a_page_that_is_there(guide):
    for subject in ("", *guide.TOLD_IN):
        page, heading = page_and_heading(guide.address_of(subject))
        assert page.is_file(), subject
        if heading:
            assert f'id="{heading}"' in page.read_text(encoding="utf-8"), subject


@pytest.mark.parametrize("is_there", [True, False])
def test_help_without_a_browser_says_where_the_page_is(extension, monkeypatch, is_there):
    room = importlib.import_module(f"{MODULE}.operators.shaping.handling")
    monkeypatch.setattr(room.webbrowser, "open", lambda _address: is_there)
    told = []
    asked = SimpleNamespace(subject="press", report=lambda kind, text: told.append((kind, text)))
    assert room.STAMPWRIGHT_OT_open_guide.execute(asked, bpy.context) == {"FINISHED"}
    assert len(told) == (0 if is_there else 1)
    if told:
        assert told[0][0] == {"WARNING"}
        assert "pressing" in told[0][1]


def test_every_help_button_asks_for_what_the_guide_tells(extension):
    room = importlib.import_module(f"{MODULE}.guide")
    panels = importlib.import_module(f"{MODULE}.panels")
    asked = {each.subject for each in panels.CLASSES if getattr(each, "subject", "")}
    assert len(asked) > 8
    assert asked <= set(room.TOLD_IN)


def test_the_online_manual_of_every_operator_and_property_is_a_page_of_the_guide(guide):
    start, known = guide.manual_map()
    names = [f"bpy.ops.stampwright.{name}" for name in dir(bpy.ops.stampwright)]
    assert len(groups()) > 8
    for kind in groups():
        names += [f"bpy.types.{kind.__name__}.{each.identifier}" for each in kind.bl_rna.properties]
    for name in names:
        # As the host looks: the first pattern that fits, in small letters.
        rest = next((rest for pattern, rest in known if fnmatchcase(name.lower(), pattern)), None)
        assert rest is not None, name
        assert page_and_heading(start + rest)[0].is_file(), name
    assert len({rest for _, rest in known}) > 4


def test_pages_that_are_packed_are_small_and_link_to_nothing_that_is_not_there(guide):
    if not guide.PAGES.is_dir():
        pytest.skip("only packed pages are pages for a browser")
    size = sum(path.stat().st_size for path in guide.PAGES.iterdir())
    assert size < 2_500_000
    for page in guide.PAGES.glob("*.html"):
        text = page.read_text(encoding="utf-8")
        for name in re.findall(r'(?:src|href)="([^"#:]+)', text):
            assert (guide.PAGES / name).is_file(), f"{page.name}: {name}"


def test_every_choice_has_a_tooltip(scene):
    told = []
    operators = [getattr(bpy.types, name) for name in dir(bpy.types) if name.startswith("STAMPWRIGHT_OT_")]
    for kind in (*groups(), *operators):
        ours = {
            name for base in kind.__mro__ if MODULE in base.__module__ for name in vars(base).get("__annotations__", ())
        }
        rna = kind.bl_rna
        if "_OT_" in kind.__name__:
            rna = getattr(bpy.ops.stampwright, kind.__name__.partition("_OT_")[2]).get_rna_type()
        for each in rna.properties:
            if each.type == "ENUM" and ("_PG_" in kind.__name__ or each.identifier in ours):
                told += [
                    (f"{kind.__name__}.{each.identifier}", item.name, item.description) for item in each.enum_items
                ]
    assert len(told) > 80
    assert [where for where in told if not where[2]] == []


def test_a_stamp_is_selected_whole_from_any_part(root):
    choose(part(root, "handle"))
    assert bpy.ops.stampwright.select_stamp() == {"FINISHED"}
    assert set(bpy.context.selected_objects) == {root, *root.children}
    assert bpy.context.view_layer.objects.active is root


def test_a_stamp_is_duplicated_whole_and_each_goes_its_own_way(root, live):
    root.stampwright.die.relief = 1.6
    live.catch_up()
    choose(part(root, "die"))
    assert bpy.ops.stampwright.duplicate_stamp() == {"FINISHED"}
    twin = bpy.context.active_object
    assert twin is not root
    assert {child.stampwright.role for child in twin.children} == {child.stampwright.role for child in root.children}
    assert twin.stampwright.die.relief == pytest.approx(1.6)
    assert twin.users_collection[0] is not root.users_collection[0]
    assert (twin.location - root.location).length > 0.05
    before = len(part(root, "die").data.vertices), root.stampwright.built
    twin.stampwright.base.outline = "ellipse"
    live.catch_up()
    assert (len(part(root, "die").data.vertices), root.stampwright.built) == before
    assert part(twin, "die").data is not part(root, "die").data


def test_a_stamp_is_deleted_whole_and_its_artwork_stays(root):
    drawn = bpy.data.objects["F"]
    meshes, collection = len(bpy.data.meshes), root.users_collection[0].name
    choose(part(root, "backing"))
    assert bpy.ops.stampwright.delete_stamp() == {"FINISHED"}
    assert set(bpy.data.objects) == {drawn}
    assert len(bpy.data.meshes) == meshes - 4
    assert collection not in bpy.data.collections
