"""The font that a style asks for, as it is at hand."""

from __future__ import annotations

from ...fonts import Font
from ..painting.sheet import Sheet
from ..placing.place import Place
from ..source.document import Element


def font_of(sheet: Sheet, element: Element, place: Place) -> Font:
    """Return the font for what stands in ``place``; what had to be substituted is noted for ``element``."""
    font, findings = place.font_of_weight(sheet.text_weight) if sheet.text_weight else place.font
    for finding in findings:
        sheet.notes.add(
            finding.kind, finding.message.rstrip("."), element, remedy=finding.remedy, severity=finding.severity
        )
    return font
