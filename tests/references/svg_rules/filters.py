"""Filters: one small drawing for each rule."""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

RULES = {
    "filter-offset": (
        "Filter Effects 1, 9.13",
        '<filter id="f" ><feOffset dx="5" dy="-4"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-offset-obb": (
        "Filter Effects 1, 7.5",
        '<filter id="f" primitiveUnits="objectBoundingBox"><feOffset dx=".2" dy=".1"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-shadow": (
        "Filter Effects 1, 9.9",
        '<filter id="f" ><feDropShadow dx="6" dy="6" stdDeviation="1"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-shadow-manual": (
        "Filter Effects 1, 9.15",
        '<filter id="f" ><feGaussianBlur in="SourceAlpha" stdDeviation="2"/><feOffset dx="5" dy="5" result="o"/><feMerge><feMergeNode in="o"/><feMergeNode in="SourceGraphic"/></feMerge></filter><rect x="30" y="30" width="40" height="40" fill="#ddd" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-flood": (
        "Filter Effects 1, 9.12",
        '<filter id="f" ><feFlood flood-color="#000"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-flood-part": (
        "Filter Effects 1, 7.3",
        '<filter id="f" ><feFlood x="40" y="40" width="20" height="20"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-flood-over": (
        "Filter Effects 1, 9.12",
        '<filter id="f" ><feFlood flood-color="#fff"/></filter><rect width="100" height="100"/><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-composite-in": (
        "Filter Effects 1, 9.7",
        '<filter id="f" ><feFlood result="a" x="40" y="20" width="20" height="80"/><feComposite in="a" in2="SourceGraphic" operator="in"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-composite-out": (
        "Filter Effects 1, 9.7",
        '<filter id="f" ><feFlood result="a" x="40" y="20" width="20" height="80"/><feComposite in="SourceGraphic" in2="a" operator="out"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-composite-xor": (
        "Filter Effects 1, 9.7",
        '<filter id="f" ><feFlood result="a" x="40" y="20" width="20" height="80"/><feComposite in="a" in2="SourceGraphic" operator="xor"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-merge": (
        "Filter Effects 1, 9.15",
        '<filter id="f" ><feOffset dx="3" dy="3" result="a"/><feMerge><feMergeNode in="a"/><feMergeNode in="SourceGraphic"/></feMerge></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-blend": (
        "Filter Effects 1, 9.5",
        '<filter id="f" ><feFlood flood-color="#fff" result="a"/><feBlend in="SourceGraphic" in2="a" mode="difference"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-cm-invert": (
        "Filter Effects 1, 9.6",
        '<filter id="f" ><feColorMatrix values="-1 0 0 0 1 0 -1 0 0 1 0 0 -1 0 1 0 0 0 1 0"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-ct-lin": (
        "Filter Effects 1, 9.9",
        '<filter id="f" ><feComponentTransfer><feFuncA type="linear" slope=".3"/></feComponentTransfer></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-morph-dil": (
        "Filter Effects 1, 9.16",
        '<filter id="f" ><feMorphology operator="dilate" radius="3"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-morph-er": (
        "Filter Effects 1, 9.16",
        '<filter id="f" ><feMorphology radius="3 8"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-blur-small": (
        "Filter Effects 1, 9.14",
        '<filter id="f" ><feGaussianBlur stdDeviation="1"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-blur-obb": (
        "Filter Effects 1, 7.5",
        '<filter id="f" primitiveUnits="objectBoundingBox"><feGaussianBlur stdDeviation=".1"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-empty": (
        "Filter Effects 1, 7.1",
        '<filter id="f" ></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-on-text": (
        "Filter Effects 1, 5",
        '<filter id="f" ><feOffset dx="5"/></filter><text filter="url(#f)" x="10" y="50" font-size="30" font-family="Noto Sans">Ab</text><path d="M2 60h20v30z"/>',
    ),
    "filter-with-clip": (
        "Filter Effects 1, 4",
        '<clipPath id="c"><circle cx="50" cy="50" r="25"/></clipPath><filter id="f" ><feGaussianBlur stdDeviation="3"/></filter><rect x="30" y="30" width="40" height="40" clip-path="url(#c)" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-with-opacity": (
        "Filter Effects 1, 4",
        '<filter id="f" ><feOffset dx="4"/></filter><rect x="30" y="30" width="40" height="40" opacity=".4" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-two-filters": (
        "Filter Effects 1, 5",
        '<filter id="g"><feOffset dy="5"/></filter><filter id="f" ><feOffset dx="5"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f) url(#g)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-zero-region": (
        "Filter Effects 1, 7.2",
        '<filter id="f" width="0"><feOffset dx="5"/></filter><rect x="30" y="30" width="40" height="40" filter="url(#f)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-fn-shadow": (
        "Filter Effects 1, 13.1",
        '<rect x="30" y="30" width="40" height="40" filter="drop-shadow(6px 6px 1px #000)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-fn-invert": (
        "Filter Effects 1, 13.1",
        '<rect x="30" y="30" width="40" height="40" filter="invert(1)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-fn-gray": (
        "Filter Effects 1, 13.1",
        '<rect x="30" y="30" width="40" height="40" fill="#00f" filter="grayscale(1)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-fn-chain": (
        "Filter Effects 1, 13.1",
        '<rect x="30" y="30" width="40" height="40" filter="invert(1) drop-shadow(5px 5px 0 black)"/><path d="M2 60h20v30z"/>',
    ),
    "filter-nested": (
        "Filter Effects 1, 4",
        '<filter id="g"><feOffset dy="5"/></filter><filter id="f" ><feOffset dx="5"/></filter><g filter="url(#f)"><rect x="30" y="30" width="40" height="40" filter="url(#g)"/></g><path d="M2 60h20v30z"/>',
    ),
}
