"""A stamp from a template in an empty scene: words become pieces, and what does not fit is said in one line."""

import importlib

import bpy
import pytest
from names import MODULE


def test_a_template_makes_a_stamp_with_words_of_ones_own(scene, core, benches):
    done = bpy.ops.stampwright.stamp_from_template(template="received", words_1="RETURNED", words_3="-")
    assert done == {"FINISHED"}
    root = bpy.context.active_object
    stamp = benches.bench_of(root).stamp
    texts = [getattr(piece, "text", "") for piece in stamp.job.pieces]
    assert "RETURNED" in texts
    assert not any("Mossgate" in text for text in texts)
    assert stamp.die.volume > 1000
    assert not stamp.blocked


def test_places_of_every_template_have_a_field(scene, core):
    operator = bpy.ops.stampwright.stamp_from_template.get_rna_type()
    for template in core("templates").list_templates():
        assert len(template.words) <= len([name for name in operator.properties.keys() if name.startswith("words_")])


def test_places_are_called_as_words_with_their_number_apart(extension):
    room = importlib.import_module(f"{MODULE}.operators.stamps.templates")
    assert [room._named(place) for place in ("line1", "top", "size_by2")] == ["Line 1", "Top", "Size by 2"]


def test_words_that_do_not_fit_make_nothing_and_are_said(scene):
    before = len(bpy.data.objects)
    with pytest.raises(RuntimeError, match=r"about .* such characters fit"):
        bpy.ops.stampwright.stamp_from_template(template="address", words_1="W" * 60)
    assert len(bpy.data.objects) == before


def test_words_that_do_not_fit_are_told_in_one_line(scene):
    words = "Österreichische Saatgutgemeinschaft Moosbach"
    with pytest.raises(RuntimeError, match="such characters fit"):
        bpy.ops.stampwright.stamp_from_template(template="address", words_1=words)
