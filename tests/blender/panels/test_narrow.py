"""Nothing that a narrow sidebar shows is cut, in any language: labels, buttons, headings, names of panels, findings."""

import importlib
from types import SimpleNamespace

import bpy
import pytest
from drawing import curve, letter_f, made
from laid_out import MODULE, Sheet, every_way, laid_out

blf = importlib.import_module("blf")
"""The host's, which is there once ``bpy`` is."""


@pytest.fixture
def panels(extension):
    return importlib.import_module(f"{MODULE}.panels")


@pytest.fixture
def root(scene):
    return made(curve("F", letter_f()))


@pytest.mark.parametrize("scale", [1.0, 1.5])
def test_labels_are_uncut_in_a_narrow_sidebar(panels, root, monkeypatch, scale):
    """At 200 pixels, as the host's own font measures them: a label over its field, or in it beside six digits."""
    base = panels.base
    monkeypatch.setattr(base, "width_shown", lambda: 200.0)
    # Of 200 pixels fields have 143, and a number's label shares what its arrows leave with its value: seen in a window.
    room = 143.0 * scale
    names = [each.__name__.rpartition("_PT_")[2] for each in panels.CLASSES if hasattr(each, "show")]
    cut = set()
    for _ in every_way(root):
        for name in names:
            shown = laid_out(panels, root, name)
            blf.size(0, 11.0 * scale)
            for path, text, kind in shown:
                beside = 20.0 * scale if kind == "BOOLEAN" else 0.0
                if kind in ("FLOAT", "INT") and text:
                    section, _, figure = path.rpartition(".")
                    group = getattr(root.stampwright, section, root.stampwright)
                    beside = blf.dimensions(0, f"{getattr(group, figure, 50.0):.3g}")[0] + 30.0 * scale
                if kind != "OPERATOR" and blf.dimensions(0, text)[0] + beside > room:
                    cut.add((name, text))
    assert cut == set()


@pytest.mark.parametrize("language", ["en", "de", "fr"])
def test_buttons_are_uncut_in_a_narrow_sidebar_in_every_language(panels, root, monkeypatch, language):
    """Of 200 pixels a button across the panel has 143, its edges eight each; its icon goes where the label needs it."""
    base = panels.base
    translations = importlib.import_module(f"{MODULE}.translations")
    table = translations.table_of(language) if language != "en" else {}
    monkeypatch.setattr(base, "width_shown", lambda: 200.0)
    monkeypatch.setattr(base, "translated", lambda text: table.get(text, text))
    names = [each.__name__.rpartition("_PT_")[2] for each in panels.CLASSES if hasattr(each, "show")]
    buttons: set[str] = set()
    for _ in every_way(root):
        for name in names:
            for operator, text, kind in laid_out(panels, root, name):
                if kind == "OPERATOR" and operator.startswith("stampwright."):
                    label = getattr(bpy.ops.stampwright, operator.partition(".")[2]).get_rna_type().name
                    told = label if text is None else text
                    buttons.add(table.get(told, told))
    blf.size(0, 11.0)
    assert len(buttons) > 20
    # Names of files and materials are the artist's own, and kept as they are.
    assert {text for text in buttons if blf.dimensions(0, text)[0] > 127.0} == set()


@pytest.mark.parametrize("language", ["en", "de", "fr"])
def test_names_of_panels_are_uncut_in_a_narrow_sidebar_in_every_language(panels, monkeypatch, language):
    """Of 200 pixels, a panel's name has 125 within another, 139 else; its help is shown where there is room for it."""
    base = panels.base
    translations = importlib.import_module(f"{MODULE}.translations")
    table = translations.table_of(language) if language != "en" else {}
    monkeypatch.setattr(base, "width_shown", lambda: 200.0)
    monkeypatch.setattr(base, "translated", lambda text: table.get(text, text))
    for panel in (each for each in panels.CLASSES if hasattr(each, "show") and each.bl_region_type == "UI"):
        told, room = table.get(panel.bl_label, panel.bl_label), 125.0 if hasattr(panel, "bl_parent_id") else 139.0
        blf.size(0, 11.0)
        wide = blf.dimensions(0, told)[0]
        assert wide <= room, told
        assert base.has_room(panel) == (wide <= room - 40.0), told


def test_a_heading_of_switches_is_shown_once(panels, root, monkeypatch):
    headings = []

    class Layout(Sheet):
        def column(self, heading="", **_about):
            headings.append(heading)
            return self

        def label(self, text="", **_about):
            headings.append(text)

    for wide in (200.0, 284.0):
        headings.clear()
        monkeypatch.setattr(panels.base, "width_shown", lambda wide=wide: wide)
        panels.base.show_switches(Layout([]), "After Edits", (root.stampwright, "press_live"))
        assert headings.count("After Edits") == 1


def test_figures_of_findings_stand_beside_each_other_only_where_they_fit(panels, root, monkeypatch):
    room = importlib.import_module(f"{MODULE}.panels.results.findings")
    finding = SimpleNamespace(measured=0.62, unit="mm")
    monkeypatch.setattr(room, "can_repair", lambda *_about: False)
    for wide, columns in ((200.0, 2), (284.0, 2), (400.0, 3)):
        monkeypatch.setattr(panels.base, "width_shown", lambda wide=wide: wide)
        monkeypatch.setattr(room, "width_shown", lambda wide=wide: wide)
        assert room._columns(root, [(0, finding)] * 5) == columns


@pytest.mark.parametrize("wide", [200.0, 291.0])
def test_no_line_of_a_finding_is_cut_in_any_language(extension, monkeypatch, wide):
    """Seen in a window: of a sidebar of 291 pixels, lines in a box have 225, in the host's own letters."""
    base = importlib.import_module(f"{MODULE}.panels.base")
    translations = importlib.import_module(f"{MODULE}.translations")
    monkeypatch.setattr(base, "width_shown", lambda: wide)
    blf.size(0, 11.0)
    for language in translations.LANGUAGES:
        for told in translations._read(f"{language}.findings.toml").values():
            lines = base.wrapped(told)
            assert " ".join(lines) == told
            assert all(blf.dimensions(0, line)[0] <= wide - 66.0 or " " not in line for line in lines), lines


def test_no_line_begins_with_a_unit_or_a_colon(panels, monkeypatch):
    told = (
        "60 N imprime 100.0 % de la face ; pression maximale : 0.75 MPa, entier jusqu'à 1.0 mm du centre, 12 mm² : 3 N"
    )
    for wide in range(120, 400, 3):
        monkeypatch.setattr(panels.base, "width_shown", lambda wide=wide: float(wide))
        lines = panels.base.wrapped(told)
        assert " ".join(lines) == told
        assert not any(line.startswith(("%", ":", ";", "MPa", "mm", "N")) for line in lines), lines


def test_a_label_too_long_for_its_place_beside_a_field_stands_in_it(panels, root, monkeypatch):
    split = []

    class Layout(Sheet):
        def __setattr__(self, name, value):
            if name == "use_property_split":
                split.append(value)
            super().__setattr__(name, value)

        def column(self, **_about):
            return self

    for label, kept in (("Push", []), ("Raupendrehung der Decklage (°)", [False])):
        split.clear()
        monkeypatch.setattr(panels.base, "translated", lambda _text, label=label: label)
        panels.base.show_setting(Layout([]), root.stampwright.press, "bead_turn")
        assert split == kept


def test_every_share_is_shown_as_percent(panels, root):
    shown = {path for _ in every_way(root) for path, _, _ in laid_out(panels, root, "price")}
    assert "price.margin_percent" in shown
    root.stampwright.price.margin = 0.15
    assert root.stampwright.price.margin_percent == pytest.approx(15.0)
    told = importlib.import_module(f"{MODULE}.translations").tooltip_of
    assert told("price.margin").endswith("Usually 10 to 200 %")
    assert "%" in told("handle.infill") or "Usually" not in told("handle.infill")
