"""Glyphs of fonts that tests make up."""

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen


def block(left, bottom, right, top):
    """Return a glyph that is one rectangle, in units of its font."""
    pen = TTGlyphPen(None)
    for at, corner in enumerate([(left, bottom), (left, top), (right, top), (right, bottom)]):
        (pen.lineTo if at else pen.moveTo)(corner)
    pen.closePath()
    return pen.glyph()


def save_font(path, family, letters, *, style="Regular", features="", weight=400):
    """Write a small font: ``letters``, by character or by the glyph's name, each 600 wide, in units of 1000 an em.

    ``features``: what its tables put in place of others, as feature files write it.
    """
    names = {each: f"u{ord(each):04X}" if len(each) == 1 else each for each in letters}
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", *names.values()])
    builder.setupCharacterMap({ord(each): name for each, name in names.items() if len(each) == 1})
    builder.setupGlyf({".notdef": TTGlyphPen(None).glyph()} | {names[each]: glyph for each, glyph in letters.items()})
    builder.setupHorizontalMetrics(dict.fromkeys([".notdef", *names.values()], (600, 0)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": family, "styleName": style})
    builder.setupOS2(sTypoAscender=800, sTypoDescender=-200, usWeightClass=weight)
    builder.setupPost(italicAngle=-12 if "Italic" in style else 0)
    if features:
        builder.addOpenTypeFeatures(features)
    builder.save(path)
