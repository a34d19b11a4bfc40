"""Filling, stroking, and the order and opacity in which things are painted: one small drawing for each rule."""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

R = '<rect x="20" y="20" width="60" height="60" {}/>'

RULES = {
    "nonzero-pentagram": ("13.4.2", '<path d="M50 5L77 90 5 37h90L23 90z"/>'),
    "evenodd-pentagram": ("13.4.2", '<path fill-rule="evenodd" d="M50 5L77 90 5 37h90L23 90z"/>'),
    "nonzero-same-way": ("13.4.2", '<path d="M10 10H90V90H10zM30 30H70V70H30z"/>'),
    "nonzero-other-way": ("13.4.2", '<path d="M10 10H90V90H10zM30 30V70H70V30z"/>'),
    "evenodd-nested": ("13.4.2", '<path fill-rule="evenodd" d="M10 10H90V90H10zM25 25H75V75H25zM40 40h20v20H40z"/>'),
    "figure-eight": ("13.4.2", '<path d="M10 10C90 10 10 90 90 90S90 10 10 90z"/>'),
    "fill-none": ("13.4", R.format('fill="none" stroke="#000" stroke-width="8"')),
    "fill-opacity-dark": ("13.4.3", R.format('fill-opacity=".6"')),
    "fill-opacity-percent": ("13.4.3", R.format('fill-opacity="40%"') + '<path d="M2 2h30v30H2z"/>'),
    "fill-wrong-is-ignored": (
        "6.5",
        '<g fill="white">' + R.format('fill="nonsense(3)"') + '</g><path d="M2 2h30v30H2z"/>',
        '<path d="M2 2h30v30H2z"/>',
    ),
    "current-color": ("13.2", '<g color="black" fill="white">' + R.format('fill="currentColor"') + "</g>"),
    "hsl-colour": ("CSS Color 4, 7", R.format('fill="hsl(240, 100%, 20%)"')),
    "rgb-percent": ("CSS Color 4, 5", R.format('fill="rgb(10%, 20%, 30%)"')),
    "short-hex": ("CSS Color 4, 5.2", R.format('fill="#235"')),
    "hex-with-opacity": ("CSS Color 4, 5.2", R.format('fill="#000000c0"')),
    "stroke-default-width": ("13.5.2", '<g transform="scale(10)"><path fill="none" stroke="#000" d="M2 2H8V8"/></g>'),
    "caps-butt": ("13.5.4", '<path stroke="#000" stroke-width="20" d="M30 50H70"/>'),
    "caps-round": ("13.5.4", '<path stroke="#000" stroke-width="20" stroke-linecap="round" d="M30 50H70"/>'),
    "caps-square": ("13.5.4", '<path stroke="#000" stroke-width="20" stroke-linecap="square" d="M30 40L70 60"/>'),
    "dot-round": ("13.5.4", '<path stroke="#000" stroke-width="40" stroke-linecap="round" d="M50 50z"/>'),
    "dot-square": ("13.5.4", '<path stroke="#000" stroke-width="40" stroke-linecap="square" d="M50 50h0"/>'),
    "join-miter": ("13.5.5", '<path fill="none" stroke="#000" stroke-width="16" d="M20 80L50 20 80 80"/>'),
    "join-miter-over-limit": ("13.5.5", '<path fill="none" stroke="#000" stroke-width="16" d="M40 80L50 20 60 80"/>'),
    "join-miter-limit-raised": (
        "13.5.5",
        '<path fill="none" stroke="#000" stroke-width="8" stroke-miterlimit="20" d="M40 90L50 50 60 90"/>',
    ),
    "join-round": (
        "13.5.5",
        '<path fill="none" stroke="#000" stroke-width="16" stroke-linejoin="round" d="M20 80L50 20 80 80z"/>',
    ),
    "join-bevel": (
        "13.5.5",
        '<path fill="none" stroke="#000" stroke-width="16" stroke-linejoin="bevel" d="M20 80L50 20 80 80z"/>',
    ),
    "join-miter-clip": (
        "13.5.5",
        '<path fill="none" stroke="#000" stroke-width="10" stroke-linejoin="miter-clip" d="M40 80L50 40 60 80"/>',
    ),
    "turn-back-round": (
        "13.5.5",
        '<path fill="none" stroke="#000" stroke-width="20" stroke-linejoin="round" d="M20 50H80H40"/>',
    ),
    "curve-tighter-than-stroke": (
        "13.5.7",
        '<path fill="none" stroke="#000" stroke-width="30" d="M30 80C30 20 60 20 60 80"/>',
    ),
    "cusp": ("13.5.7", '<path fill="none" stroke="#000" stroke-width="8" d="M20 80C90 10 10 10 80 80"/>'),
    "thick-circle": ("13.5.7", '<circle cx="50" cy="50" r="10" stroke="#000" stroke-width="30"/>'),
    "stroke-over-fill": ("13.3", R.format('fill="#000" stroke="#fff" stroke-width="10"')),
    "stroke-under-fill": ("13.8", R.format('fill="#000" stroke="#fff" stroke-width="10" paint-order="stroke"')),
    "stroke-opacity": ("13.5.1", R.format('fill="none" stroke="#000" stroke-opacity=".7" stroke-width="10"')),
    "stroke-width-percent": ("13.5.2", R.format('fill="none" stroke="#000" stroke-width="10%"')),
    "stroke-skewed": (
        "13.5",
        R.format('fill="none" stroke="#000" stroke-width="12" transform="matrix(.8 .2 .1 .6 0 10)"'),
    ),
    "dashes": ("13.5.6", '<path stroke="#000" stroke-width="10" stroke-dasharray="12 6" d="M5 50H95"/>'),
    "dashes-odd": ("13.5.6", '<path stroke="#000" stroke-width="10" stroke-dasharray="12 6 4" d="M5 50H95"/>'),
    "dashes-offset": (
        "13.5.6",
        '<path stroke="#000" stroke-width="10" stroke-dasharray="12 6" stroke-dashoffset="9" d="M5 50H95"/>',
    ),
    "dashes-offset-negative": (
        "13.5.6",
        '<path stroke="#000" stroke-width="10" stroke-dasharray="12 6" stroke-dashoffset="-5" d="M5 50H95"/>',
    ),
    "dashes-round": (
        "13.5.6",
        '<path d="M10 20H90V80" fill="none" stroke="#000" stroke-width="12" stroke-dasharray="0 20" '
        'stroke-linecap="round"/>',
    ),
    "dashes-corner": (
        "13.5.6",
        R.format('fill="none" stroke="#000" stroke-width="8" stroke-dasharray="35 10"'),
    ),
    "dashes-percent": ("13.5.6", '<path stroke="#000" stroke-width="10" stroke-dasharray="10% 5%" d="M5 50H95"/>'),
    "dashes-negative-is-wrong": (
        "13.5.6",
        '<path stroke="#000" stroke-width="10" stroke-dasharray="10 -5" d="M5 50H95"/>',
    ),
    "dashes-all-zero": ("13.5.6", '<path stroke="#000" stroke-width="10" stroke-dasharray="0 0" d="M5 50H95"/>'),
    "display-none": ("11.2", '<g display="none">' + R.format("") + '</g><path d="M2 2h30v30H2z"/>'),
    "display-none-cannot-be-undone": (
        "11.2",
        '<g display="none">' + R.format('display="inline"') + '</g><path d="M2 2h30v30H2z"/>',
    ),
    "visibility-hidden": (
        "11.2",
        '<g visibility="hidden">' + R.format("") + '<path visibility="visible" d="M2 2h30v30H2z"/></g>',
    ),
    "visibility-collapse": ("11.2", R.format('visibility="collapse"') + '<path d="M2 2h30v30H2z"/>'),
    "painting-order": (
        "3.3",
        R.format("") + '<circle cx="50" cy="50" r="20" fill="#fff"/><circle cx="50" cy="50" r="10"/>',
    ),
    "group-opacity": (
        "3.6",
        '<g opacity=".7">' + R.format("") + '<rect x="50" y="50" width="45" height="45" fill="#fff"/></g>',
    ),
    "opacity-once-for-group": (
        "3.6",
        '<g opacity=".4">' + R.format("") + R.format("") + '</g><path d="M2 2h30v30H2z"/>',
    ),
    "opacity-overlap": ("3.6", R.format('opacity=".4"') + '<rect x="40" y="40" width="55" height="55" opacity=".4"/>'),
    "opacity-of-fill-and-stroke": ("3.6", R.format('opacity=".6" stroke="#fff" stroke-width="20"')),
    "opacity-nested": ("3.6", '<g opacity=".8"><g opacity=".8">' + R.format("") + "</g></g>"),
    "white-translucent-over-black": (
        "3.6",
        R.format("") + '<circle cx="50" cy="50" r="20" fill="#fff" fill-opacity=".6"/>',
    ),
    "blend-multiply": (
        "CSS Compositing 1, 9",
        R.format('fill="#b0b0b0"')
        + '<rect x="40" y="40" width="55" height="55" fill="#b0b0b0" style="mix-blend-mode:multiply"/>',
    ),
    "blend-screen": (
        "CSS Compositing 1, 9",
        R.format("") + '<circle cx="50" cy="50" r="20" fill="#c0c0c0" style="mix-blend-mode:screen"/>',
    ),
    "blend-difference": (
        "CSS Compositing 1, 9",
        R.format("") + '<circle cx="80" cy="50" r="20" fill="#fff" style="mix-blend-mode:difference"/>',
        '<path d="M20 20H80V30A20 20 0 0 0 80 70V80H20z"/>',
    ),
    "isolation": (
        "CSS Compositing 1, 3",
        R.format('fill="#b0b0b0"')
        + '<g style="isolation:isolate"><rect x="40" y="40" width="55" height="55" fill="#b0b0b0" style="mix-blend-mode:multiply"/></g><path d="M2 2h30v30H2z"/>',
    ),
    "opacity-bg": (
        "3.6",
        '<rect width="100" height="100" fill="#000"/><rect x="20" y="20" width="60" height="60" fill="#fff" opacity=".4"/>',
    ),
    "opacity-bg2": (
        "3.6",
        '<rect width="100" height="100" fill="#000"/><rect x="20" y="20" width="60" height="60" fill="#fff" opacity=".6"/>',
    ),
    "opacity-group-nested": (
        "3.6",
        '<g opacity=".7"><g opacity=".7"><g opacity=".7"><rect x="20" y="20" width="60" height="60" /></g></g></g><path d="M60 60h30v30z"/>',
    ),
    "opacity-clip": (
        "3.6",
        '<clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath><g opacity=".6" clip-path="url(#c)"><rect x="20" y="20" width="60" height="60" /></g>',
    ),
    "fill-op-nested": (
        "13.4.3",
        '<g fill-opacity=".3"><rect x="20" y="20" width="60" height="60" fill-opacity=".9"/></g>',
    ),
    "stroke-cap-bad": ("13.5.4", '<path d="M20 80L80 20" stroke-linecap="zz" stroke-width="9" stroke="#000"/>'),
    "stroke-join-clip": (
        "13.5.5",
        '<path d="M40 80L50 20L60 80" stroke-linejoin="miter-clip" stroke-miterlimit="3" stroke-width="9" stroke="#000" fill="none"/>',
    ),
    "stroke-miter-5": (
        "13.5.5",
        '<rect x="20" y="20" width="60" height="60" stroke-miterlimit="1" stroke-width="9" stroke="#000" fill="none"/>',
    ),
    "stroke-link-fallback": ("13.2", '<rect x="20" y="20" width="60" height="60" stroke="url(#zz) #000" fill="none"/>'),
    "dashes-zero-pair": (
        "13.5.6",
        '<path d="M10 20h80v60h-60" fill="none" stroke="#000" stroke-width="6" stroke-dasharray="0 10" stroke-linecap="round"/>',
    ),
    "dashes-zero-sq": (
        "13.5.6",
        '<path d="M10 20h80v60h-60" fill="none" stroke="#000" stroke-width="6" stroke-dasharray="0 10" stroke-linecap="square"/>',
    ),
    "dashes-off-pc": (
        "13.5.6",
        '<path d="M10 20h80v60h-60" fill="none" stroke="#000" stroke-width="6" stroke-dasharray="10 5" stroke-dashoffset="5%"/>',
    ),
    "dashes-em": (
        "13.5.6",
        '<path d="M10 20h80v60h-60" fill="none" stroke="#000" stroke-width="6" font-size="10" stroke-dasharray="1em .5em"/>',
    ),
    "dashes-closed": (
        "13.5.6",
        '<path d="M20 20h60v60h-60z" fill="none" stroke="#000" stroke-width="6" stroke-dasharray="50 10"/>',
    ),
    "dashes-circle": (
        "13.5.6",
        '<circle cx="50" cy="50" r="30" fill="none" stroke="#000" stroke-width="6" stroke-dasharray="20 5"/>',
    ),
    "dashes-rrect": (
        "13.5.6",
        '<rect x="20" y="20" width="60" height="60" rx="10" fill="none" stroke="#000" stroke-width="6" stroke-dasharray="20 5"/>',
    ),
    "dashes-multi": (
        "13.5.6",
        '<path d="M10 20h80M10 50h80" fill="none" stroke="#000" stroke-width="6" stroke-dasharray="30 7"/>',
    ),
    "visibility-bad": ("11.2", '<rect x="20" y="20" width="60" height="60" visibility="zz"/>'),
    "order-markers": (
        "13.8",
        '<marker id="m" markerWidth="8" markerHeight="8"><rect width="4" height="4" fill="#fff"/></marker><path d="M20 20h50v50" fill="none" stroke="#000" stroke-width="8" marker-mid="url(#m)" paint-order="markers stroke"/>',
    ),
    "order-bad": (
        "13.8",
        '<rect x="20" y="20" width="60" height="60" stroke="#fff" stroke-width="10" paint-order="stroke zz"/>',
    ),
    "blend-hue": (
        "CSS Compositing 1, 10",
        '<rect width="100" height="60" fill="#777"/><rect width="50" height="100" fill="#a33"/><circle cx="50" cy="50" r="35" fill="#59c" style="mix-blend-mode:hue"/>',
    ),
    "blend-saturation": (
        "CSS Compositing 1, 10",
        '<rect width="100" height="60" fill="#777"/><rect width="50" height="100" fill="#a33"/><circle cx="50" cy="50" r="35" fill="#59c" style="mix-blend-mode:saturation"/>',
    ),
    "blend-color": (
        "CSS Compositing 1, 10",
        '<rect width="100" height="60" fill="#777"/><rect width="50" height="100" fill="#a33"/><circle cx="50" cy="50" r="35" fill="#59c" style="mix-blend-mode:color"/>',
    ),
    "blend-luminosity": (
        "CSS Compositing 1, 10",
        '<rect width="100" height="60" fill="#777"/><rect width="50" height="100" fill="#a33"/><circle cx="50" cy="50" r="35" fill="#59c" style="mix-blend-mode:luminosity"/>',
    ),
    "blend-hard-light": (
        "CSS Compositing 1, 9",
        '<rect width="100" height="60" fill="#777"/><rect width="50" height="100" fill="#a33"/><circle cx="50" cy="50" r="35" fill="#59c" style="mix-blend-mode:hard-light"/>',
    ),
    "blend-soft-light": (
        "CSS Compositing 1, 9",
        '<rect width="100" height="60" fill="#777"/><rect width="50" height="100" fill="#a33"/><circle cx="50" cy="50" r="35" fill="#59c" style="mix-blend-mode:soft-light"/>',
    ),
    "blend-color-dodge": (
        "CSS Compositing 1, 9",
        '<rect width="100" height="60" fill="#777"/><rect width="50" height="100" fill="#a33"/><circle cx="50" cy="50" r="35" fill="#59c" style="mix-blend-mode:color-dodge"/>',
    ),
    "blend-op": (
        "CSS Compositing 1, 5",
        '<rect width="100" height="60" fill="#777"/><circle cx="50" cy="50" r="35" fill="#59c" opacity=".7" style="mix-blend-mode:multiply"/>',
    ),
    "blend-attr": (
        "6.6",
        '<rect width="100" height="60" fill="#777"/><circle cx="50" cy="50" r="35" fill="#59c" mix-blend-mode="difference"/>',
    ),
    "dashes-of-no-length-stated": (
        "9.6.1",
        '<path pathLength="0" d="M5 35H95" stroke="#000" stroke-width="8" stroke-dasharray="10"/><path pathLength="-5" d="M5 75H95" stroke="#000" stroke-width="8" stroke-dasharray="10"/>',
        '<path d="M5 35H95" stroke="#000" stroke-width="8"/><path d="M5 75H95" stroke="#000" stroke-width="8" stroke-dasharray="10"/>',
    ),
    "width-by-type-handed-on": (
        "CSS Cascade 4, 4.4",
        '<g stroke="#000" stroke-width=".4em"><path font-size="50" d="M5 30H95"/><text font-family="Noto Sans" font-size="40" x="5" y="90" fill="none">Oak</text></g>',
    ),
    "calculated-width-handed-on": (
        "CSS Cascade 4, 4.4",
        '<g font-size="10" style="stroke:#000;stroke-width:calc(1em + 2px)"><path font-size="50" d="M5 30H95"/></g>',
        '<path d="M5 30H95" stroke="#000" stroke-width="12"/>',
    ),
    "dashes-by-type-handed-on": (
        "CSS Cascade 4, 4.4",
        '<g font-size="10" stroke="#000" stroke-width="1em" stroke-dasharray="1em,.5em"><path font-size="40" d="M5 50H95"/></g>',
    ),
}
