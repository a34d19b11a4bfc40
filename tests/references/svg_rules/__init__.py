"""Small drawings, one for each rule of the standards; 100 by 100 user units each, 1 unit 1 px.

Every entry: a name, the section that states the rule, and what the ``svg`` element holds. Sections are of SVG 2 unless
another text is named. Where this renderer departs from two others that agree with each other (Chromium and librsvg,
by which every rule was chosen), or alone does not know what the standard asks for, a second drawing says the same by
plain means.
"""

from . import filters, gradients, letters, markers, masking, painting, paints, shapes, structure, styling, text

RULES = {
    name: rule
    for chapter in (shapes, painting, styling, structure, masking, paints, gradients, markers, filters, letters, text)
    for name, rule in chapter.RULES.items()
}
