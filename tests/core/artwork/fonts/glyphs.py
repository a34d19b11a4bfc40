"""Glyphs of fonts that tests make up."""

from fontTools.pens.ttGlyphPen import TTGlyphPen


def block(left, bottom, right, top):
    """Return a glyph that is one rectangle, in units of its font."""
    pen = TTGlyphPen(None)
    for at, corner in enumerate([(left, bottom), (left, top), (right, top), (right, bottom)]):
        (pen.lineTo if at else pen.moveTo)(corner)
    pen.closePath()
    return pen.glyph()
