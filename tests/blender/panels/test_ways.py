"""What would make a blocked stamp pass is looked for on request, text among it; each way passes once it is taken."""

import importlib

import bpy
import pytest
from drawing import choose, curve, letter_f, made, text
from names import MODULE

LATER = (5, 0)

THIN_BARS = [[(x, 0), (x + 0.04, 0), (x + 0.04, 5), (x, 5)] for x in (6, 7)]


SPACING = 0.80 if bpy.app.version < LATER else 0.43
"""With which letters l of 8 mm type stand 0.13 mm apart: newer hosts take spacing times a letter's width."""


@pytest.fixture
def looking(extension):
    return importlib.import_module(f"{MODULE}.remedy.looking")


def taken_alone(root, looking, benches, number):
    """Take one way from the stamp as it is, and return what blocks then; all settings go back after it."""
    before = {name: getattr(root.stampwright, name) for name in ("not_ink",)}
    assert bpy.ops.stampwright.take_way(number=number) == {"FINISHED"}
    assert before["not_ink"] == root.stampwright.not_ink
    return benches.bench_of(root).stamp.blocked


def test_every_way_passes_once_it_is_taken(scene, looking, benches):
    root = made(curve("thin", letter_f(), *THIN_BARS))
    assert looking.ways_of(root) is None
    assert bpy.ops.stampwright.find_ways() == {"FINISHED"}
    ways = looking.ways_of(root)
    assert len(ways) >= 2
    assert not taken_alone(root, looking, benches, 0)
    assert looking.ways_of(root) is None
    with pytest.raises(RuntimeError, match="no such way"):
        bpy.ops.stampwright.take_way(number=0)


def test_pens_that_keep_their_width_on_paper_are_not_made_broader_by_size(scene, looking, benches):
    root = made(curve("line", [(0, 0), (4, 0)], closed=False))
    root.stampwright.sources[0].line_width = 0.2
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    assert benches.bench_of(root).stamp.blocked
    assert bpy.ops.stampwright.find_ways() == {"FINISHED"}
    ways = looking.ways_of(root)
    assert ways
    assert not [way for way in ways if "layout.width" in way.settings]
    assert not taken_alone(root, looking, benches, 0)


def small_text(body, size, **data):
    """Return a stamp of text, its size in mm, which prints as large as it is drawn."""
    drawn = text(body, size / 1000.0)
    for name, value in data.items():
        setattr(drawn.data, name, value)
    root = made(drawn)
    with importlib.import_module(f"{MODULE}.job.changes").quiet():
        root.stampwright.layout.size_by, root.stampwright.base.outline = "page", "follow"
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    return root


def test_letters_that_run_together_are_set_apart_and_the_text_itself_stays(scene, looking, benches, core):
    root = small_text("llllll", 8.0, space_character=SPACING, font=own_font(core))
    told = [each.message for each in benches.bench_of(root).stamp.blocked if each.kind == "parts run together"]
    # The text is known, and so the findings say which letters a reader loses.
    assert any("'l' of 'llllll' run together" in each for each in told)
    drawn = bpy.data.objects["llllll"]
    assert bpy.ops.stampwright.find_ways() == {"FINISHED"}
    ways = looking.ways_of(root)
    wider = [number for number, way in enumerate(ways) if set(way.settings) == {"tracing.text_spacing"}]
    assert wider
    assert not taken_alone(root, looking, benches, wider[0])
    assert drawn.data.space_character == pytest.approx(SPACING)
    assert len(bpy.data.curves) == 1


def own_font(core):
    """Return the type that comes along, of which there is a bold cut."""
    return bpy.data.fonts.load(str(core("artwork.fonts").find_font("Noto Sans")[0].path))


def test_light_text_is_set_in_the_bold_cut_of_its_family(scene, looking, benches, core):
    root = small_text("Seed", 7.0, font=own_font(core))
    stamp = benches.bench_of(root).stamp
    before = stamp.inked.area
    assert bpy.ops.stampwright.find_ways() == {"FINISHED"}
    bold = [number for number, way in enumerate(looking.ways_of(root)) if "tracing.text_weight" in way.settings]
    assert bold
    assert not taken_alone(root, looking, benches, bold[0])
    assert benches.bench_of(root).stamp.inked.area > 1.2 * before


def test_lettering_pieces_are_set_otherwise_too(scene, looking, benches, core):
    drawn = curve("F", letter_f())
    root = made(drawn)
    pieces = core("job.pieces")
    thin = pieces.Lettering(text="Seed", cap_height=4.0, weight=400)
    root.stampwright.sources.clear()
    root.stampwright.pieces = importlib.import_module("json").dumps(pieces.pieces_as_data((thin,)))
    root.stampwright.layout.size_by, root.stampwright.base.outline = "page", "follow"
    choose(root)
    assert bpy.ops.stampwright.build() == {"FINISHED"}
    assert benches.bench_of(root).stamp.blocked
    assert bpy.ops.stampwright.find_ways() == {"FINISHED"}
    bold = [
        number
        for number, way in enumerate(looking.ways_of(root))
        if dict(way.settings) == {"tracing.text_weight": 700.0}
    ]
    assert bold
    assert not taken_alone(root, looking, benches, bold[0])
