"""Which properties there are, which are inherited, and their initial values (SVG 2, property index)."""

from __future__ import annotations

Declared = dict[str, str]
"""Values by the names of their properties."""

UNSET = frozenset(("unset", "revert"))
"""Words for a value as if nothing were declared: no style sheet of ours lies below the drawing's own."""

ANYWHERE = UNSET | {"inherit", "initial"}
"""Words that every property takes (CSS Cascade 4, section 7.3)."""

INHERITED = {
    "clip-rule": "nonzero",
    "color": "black",
    "direction": "ltr",
    "dominant-baseline": "auto",
    "fill": "black",
    "fill-opacity": "1",
    "fill-rule": "nonzero",
    "font-family": "serif",
    "font-feature-settings": "normal",
    "font-kerning": "auto",
    "font-size": "16",
    "font-stretch": "normal",
    "font-style": "normal",
    "font-synthesis": "weight style small-caps position",
    "font-variant-caps": "normal",
    "font-variant-ligatures": "normal",
    "font-variant-numeric": "normal",
    "font-variation-settings": "normal",
    "font-weight": "400",
    "image-rendering": "auto",
    "kerning": "auto",
    "letter-spacing": "normal",
    "marker-end": "none",
    "marker-mid": "none",
    "marker-start": "none",
    "paint-order": "normal",
    "stroke": "none",
    "stroke-dasharray": "none",
    "stroke-dashoffset": "0",
    "stroke-linecap": "butt",
    "stroke-linejoin": "miter",
    "stroke-miterlimit": "4",
    "stroke-opacity": "1",
    "stroke-width": "1",
    "text-anchor": "start",
    "text-transform": "none",
    "visibility": "visible",
    "white-space": "normal",
    "word-spacing": "normal",
    "writing-mode": "horizontal-tb",
}

OWN = {
    "alignment-baseline": "baseline",
    "background-color": "transparent",
    "baseline-shift": "baseline",
    "clip-path": "none",
    "display": "inline",
    "color-interpolation-filters": "linearRGB",
    "filter": "none",
    "flood-color": "black",
    "flood-opacity": "1",
    "isolation": "auto",
    "mask": "none",
    "mask-type": "luminance",
    "mix-blend-mode": "normal",
    "opacity": "1",
    "overflow": "visible",
    "rotate": "none",
    "scale": "none",
    "stop-color": "black",
    "stop-opacity": "1",
    "text-decoration": "none",
    "transform-box": "view-box",
    "transform-origin": "",
    "translate": "none",
    "unicode-bidi": "normal",
    "vector-effect": "none",
}
"""Properties that apply to the element itself and are not inherited."""

PRESENTATION = (frozenset(INHERITED) | frozenset(OWN)) - {
    "background-color",
    "font-feature-settings",
    "font-kerning",
    "font-synthesis",
    "font-variant-caps",
    "font-variant-ligatures",
    "font-variant-numeric",
    "font-variation-settings",
    "isolation",
    "mix-blend-mode",
    "rotate",
    "scale",
    "text-transform",
    "transform-box",
    "translate",
}
"""Properties that may also be written as attributes (SVG 2, section 6.6)."""

PAINTS = frozenset(("fill", "stroke"))
COLOUR_PROPERTIES = frozenset(("background-color", "color", "flood-color", "stop-color"))
NUMBERS = frozenset(("fill-opacity", "flood-opacity", "opacity", "stop-opacity", "stroke-miterlimit", "stroke-opacity"))
LENGTHS = {
    "letter-spacing": frozenset(("normal",)),
    "stroke-dashoffset": frozenset[str](),
    "stroke-width": frozenset[str](),
    "word-spacing": frozenset(("normal",)),
}
"""Properties that take a length or one of these words."""

KEYWORDS = {
    "clip-rule": frozenset(("nonzero", "evenodd")),
    "fill-rule": frozenset(("nonzero", "evenodd")),
    "mask-type": frozenset(("luminance", "alpha")),
    "stroke-linecap": frozenset(("butt", "round", "square")),
    "stroke-linejoin": frozenset(("miter", "miter-clip", "round", "bevel", "arcs")),
    "text-anchor": frozenset(("start", "middle", "end")),
    "visibility": frozenset(("visible", "hidden", "collapse")),
    "writing-mode": frozenset(
        ("horizontal-tb", "vertical-rl", "vertical-lr", "lr", "lr-tb", "rl", "rl-tb", "tb", "tb-rl")
    ),
}
"""Properties that take nothing but words; another value is as if it were not there (CSS Cascade 4, section 4.2)."""

GEOMETRY = frozenset(("cx", "cy", "d", "height", "r", "rx", "ry", "transform", "width", "x", "y"))
"""Attributes that style sheets may set as properties (SVG 2, chapter 7)."""
