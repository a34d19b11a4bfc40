"""The font that a style asks for, as it is at hand."""

from __future__ import annotations

from ...fonts import Font, find_font
from ..painting.sheet import Sheet
from ..placing.place import Place
from ..source.document import Element
from ..styling.values import number

_WEIGHTS = {"normal": 400.0, "bold": 700.0, "bolder": 700.0, "lighter": 300.0}


def font_of(sheet: Sheet, element: Element, place: Place) -> Font:
    """Return the font for what stands in ``place``; what had to be substituted is noted for ``element``."""
    style = place.style
    word = style["font-weight"].lower()
    weight = _WEIGHTS.get(word) or number(word, 400.0)
    font, findings = find_font(style["font-family"], min(max(weight, 1.0), 1000.0), style["font-style"].split(" ")[0])
    for finding in findings:
        sheet.notes.add(
            finding.kind, finding.message.rstrip("."), element, remedy=finding.remedy, severity=finding.severity
        )
    return font
