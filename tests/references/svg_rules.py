"""Small drawings, one for each rule of the standards; 100 by 100 user units each, 1 unit 1 px.

Every entry: a name, the section that states the rule, and what the ``svg`` element holds. Sections are of SVG 2 unless
another text is named.
"""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

R = '<rect x="20" y="20" width="60" height="60" {}/>'

RULES = {
    # Paths
    "moveto-implicit-lineto": ("9.3.3", '<path d="M10 10 90 10 90 90z"/>'),
    "relative-moveto-after-close": ("9.3.4", '<path d="m10 10h30v30h-30zm40 40h30v30h-30z"/>'),
    "lineto-after-close-starts-there": ("9.3.4", '<path d="M10 10h40v40zl40 60 -40 0z"/>'),
    "smooth-cubic-without-cubic": ("9.3.6", '<path d="M10 50S40 10 90 50V90H10z"/>'),
    "smooth-cubic-after-cubic": ("9.3.6", '<path d="M10 50C10 10 40 10 50 50S90 90 90 50V95H10z"/>'),
    "smooth-quadratic": ("9.3.7", '<path d="M10 50Q30 10 50 50T90 50V95H10z"/>'),
    "smooth-quadratic-after-cubic": ("9.3.7", '<path d="M10 50C10 10 40 10 50 50T90 50V95H10z"/>'),
    "arc-flags-packed": ("9.3.8", '<path d="M20 50a30 30 0 0160 0 30 30 0 11-60 0z"/>'),
    "arc-large-sweep": ("9.3.8", '<path d="M40 20A30 20 30 1 1 60 70z"/>'),
    "arc-radius-zero-is-line": ("9.5.1", '<path d="M10 10A0 20 0 0 1 90 10L50 90z"/>'),
    "arc-radius-negative": ("9.5.1", '<path d="M10 50A-40 -30 0 0 1 90 50z"/>'),
    "arc-radius-too-small": ("9.5.1", '<path d="M10 50A5 3 20 0 1 90 50z"/>'),
    "arc-same-ends-left-out": ("9.5.1", '<path d="M10 10A30 30 0 1 1 10 10L90 10L50 90z"/>'),
    "numbers-without-spaces": ("9.3.1", '<path d="M10-0.5.5 90L90.5.5z"/>'),
    "exponents": ("9.3.1", '<path d="M1e1 1E1L9e1 10L500e-1 9.0e+1z"/>'),
    "error-unknown-command": ("9.5.4", '<path d="M10 10H90V90H10z X M0 0h5v5z"/>'),
    "error-missing-number": ("9.5.4", '<path d="M10 10L90 10L50 90L20"/>'),
    "error-number-first": ("9.5.4", '<path d="10 10L90 10z"/><path d="M5 5h50v50z"/>'),
    "error-bad-arc-flag": ("9.5.4", '<path d="M10 10H90V90A10 10 0 2 1 10 50z"/>'),
    "open-subpath-fills-closed": ("13.4.1", '<path d="M10 10H90V90"/>'),
    "two-subpaths-touch": ("9.3.3", '<path d="M10 10h40v40h-40zM50 50h40v40h-40z"/>'),
    # Basic shapes
    "rect-one-radius": ("10.2", R.format('rx="20"')),
    "rect-both-radii": ("10.2", R.format('rx="30" ry="10"')),
    "rect-radius-too-large": ("10.2", R.format('rx="90" ry="10"')),
    "rect-percent": ("8.9", '<rect x="10%" y="20%" width="50%" height="30%"/>'),
    "rect-radius-percent": ("8.9", R.format('rx="10%" ry="20%"')),
    "circle-percent": ("8.9", '<circle cx="50%" cy="50%" r="30%"/>'),
    "ellipse": ("10.4", '<ellipse cx="50" cy="40" rx="40" ry="20"/>'),
    "ellipse-auto-radius": ("10.4", '<ellipse cx="50" cy="40" rx="30"/>'),
    "line-has-no-fill": ("10.5", '<line x1="10" y1="10" x2="90" y2="80" stroke="#000" stroke-width="6"/>'),
    "polyline-fills": ("10.6", '<polyline points="10,10 90,20 50,90"/>'),
    "polyline-odd-count": ("10.6", '<polyline points="10,10 90,20 50,90 20"/>'),
    "polygon": ("10.7", '<polygon points="10 10,90 20 , 50 90"/>'),
    "em-units": ("8.9", '<g font-size="20"><rect x="1em" y=".5em" width="2em" height="3em"/></g>'),
    "physical-units": ("8.9", '<rect x="2mm" y=".5cm" width=".5in" height="20pt"/>'),
    "missing-size-draws-nothing": ("10.2", '<rect x="5" y="5" width="50"/><path d="M60 60h30v30z"/>'),
    "negative-size-draws-nothing": ("10.2", '<rect width="-50" height="50"/><path d="M60 60h30v30z"/>'),
    # Filling
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
    ),
    "current-color": ("13.2", '<g color="black" fill="white">' + R.format('fill="currentColor"') + "</g>"),
    "hsl-colour": ("CSS Color 4, 7", R.format('fill="hsl(240, 100%, 20%)"')),
    "rgb-percent": ("CSS Color 4, 5", R.format('fill="rgb(10%, 20%, 30%)"')),
    "short-hex": ("CSS Color 4, 5.2", R.format('fill="#235"')),
    "hex-with-opacity": ("CSS Color 4, 5.2", R.format('fill="#000000c0"')),
    # Stroking
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
    # Transforms
    "transform-order": ("CSS Transforms 1, 8", R.format('transform="translate(30 0) scale(.5) rotate(20)"')),
    "rotate-about-point": ("CSS Transforms 1, 8", R.format('transform="rotate(30 50 50)"')),
    "skew": ("CSS Transforms 1, 8", R.format('transform="skewX(20) skewY(-10)"')),
    "mirror": ("CSS Transforms 1, 8", '<path d="M10 10H60V30z" transform="matrix(-1 0 0 1 100 0)"/>'),
    "nested-transforms": (
        "CSS Transforms 1, 8",
        '<g transform="translate(50 50)"><g transform="rotate(45)"><rect width="30" height="30"/></g></g>',
    ),
    "transform-flat-draws-nothing": (
        "CSS Transforms 1, 8",
        R.format('transform="scale(0 1)"') + '<path d="M2 2h30v30H2z"/>',
    ),
    "transform-origin-center": ("CSS Transforms 1, 6", R.format('transform="rotate(30)" transform-origin="50 50"')),
    "transform-wrong-is-ignored": ("CSS Transforms 1, 8", R.format('transform="rotate(30) nonsense"')),
    # Cascade
    "sheet-type": ("CSS Cascade 4, 6", "<style>rect{fill:none;stroke:#000;stroke-width:9}</style>" + R.format("")),
    "sheet-beats-attribute": ("6.6", "<style>rect{fill:#000}</style>" + R.format('fill="#fff"')),
    "style-beats-sheet": ("CSS Cascade 4, 6", "<style>#a{fill:#fff}</style>" + R.format('id="a" style="fill:#000"')),
    "important-beats-style": (
        "CSS Cascade 4, 6",
        "<style>rect{fill:#000!important}</style>" + R.format('style="fill:#fff"'),
    ),
    "class-beats-type": ("CSS Selectors 4, 17", "<style>.a{fill:#000}rect{fill:#fff}</style>" + R.format('class="a"')),
    "later-wins": ("CSS Cascade 4, 6", "<style>.a{fill:#fff}.b{fill:#000}</style>" + R.format('class="b a"')),
    "child-selector": (
        "CSS Selectors 4, 14",
        "<style>svg>rect{fill:none;stroke:#000}</style>"
        + R.format("")
        + "<g>"
        + R.format('transform="scale(.3)"')
        + "</g>",
    ),
    "first-child": (
        "CSS Selectors 4, 13",
        '<g><rect width="30" height="30"/><rect x="50" width="30" height="30"/></g><style>rect:first-child{fill:#fff}</style>',
    ),
    "attribute-selector": ("CSS Selectors 4, 6", '<style>[width="60"]{fill:none;stroke:#000}</style>' + R.format("")),
    "universal-selector": (
        "CSS Selectors 4, 5",
        "<style>*{fill:none;stroke:#000;stroke-width:4}</style>" + R.format(""),
    ),
    "sheet-in-cdata": ("6.2", "<style><![CDATA[rect{fill:none;stroke:#000;stroke-width:7}]]></style>" + R.format("")),
    "inherit-keyword": (
        "CSS Cascade 4, 7",
        '<g stroke="#000" stroke-width="10"><g stroke="none">'
        + R.format('fill="none" stroke="inherit"')
        + "</g></g>"
        + '<path d="M2 2h30v30H2z"/>',
    ),
    "opacity-inherit-keyword": (
        "CSS Cascade 4, 7",
        '<g opacity=".7">' + R.format('opacity="inherit"') + '</g><path d="M2 2h30v30H2z"/>',
    ),
    "empty-style": ("6.4", R.format('style=""')),
    # Rendering
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
    ),
    "isolation": (
        "CSS Compositing 1, 3",
        R.format('fill="#b0b0b0"')
        + '<g style="isolation:isolate"><rect x="40" y="40" width="55" height="55" fill="#b0b0b0" style="mix-blend-mode:multiply"/></g><path d="M2 2h30v30H2z"/>',
    ),
    # Structure
    "use": (
        "5.6",
        '<defs><circle id="c" r="20"/></defs><use href="#c" x="30" y="30"/><use xlink:href="#c" x="70" y="70"/>',
    ),
    "use-transform": (
        "5.6",
        '<defs><rect id="c" width="20" height="20"/></defs><use href="#c" x="30" y="10" transform="rotate(30)"/>',
    ),
    "use-inherits": (
        "5.6",
        '<defs><rect id="c" width="30" height="30"/></defs><use href="#c" fill="#fff"/><use href="#c" x="50" y="50"/>',
    ),
    "use-of-group": (
        "5.6",
        '<defs><g id="g"><rect width="20" height="20"/><circle cx="30" cy="30" r="10"/></g></defs><use href="#g" x="20" y="20"/>',
    ),
    "use-of-use": (
        "5.6",
        '<defs><rect id="a" width="20" height="20"/><use id="b" href="#a" x="10"/></defs><use href="#b" x="30" y="30"/>',
    ),
    "use-missing": ("5.6", '<use href="#nothing"/><path d="M10 10h50v50z"/>'),
    "use-circular": ("5.6", '<g id="a"><use href="#a"/></g><path d="M10 10h50v50z"/>'),
    "use-before-definition": ("5.6", '<use href="#c" x="30" y="30"/><defs><circle id="c" r="20"/></defs>'),
    "symbol": (
        "5.5",
        '<symbol id="s" viewBox="0 0 10 10"><circle cx="5" cy="5" r="6"/></symbol><use href="#s" x="20" y="20" width="60" height="40"/>',
    ),
    "symbol-overflow-visible": (
        "5.5",
        '<symbol id="s" viewBox="0 0 10 10" overflow="visible"><circle cx="5" cy="5" r="6"/></symbol><use href="#s" x="20" y="20" width="60" height="40"/>',
    ),
    "symbol-not-drawn": ("5.5", '<symbol id="s"><rect width="50" height="50"/></symbol><path d="M60 60h30v30z"/>'),
    "nested-svg": (
        "8.2",
        '<svg x="10" y="20" width="50" height="40" viewBox="0 0 10 10"><circle cx="5" cy="5" r="6"/></svg>',
    ),
    "nested-svg-slice": (
        "8.6",
        '<svg x="10" y="20" width="50" height="40" viewBox="0 0 10 10" preserveAspectRatio="xMinYMax slice"><circle cx="5" cy="5" r="5"/></svg>',
    ),
    "nested-svg-none": (
        "8.6",
        '<svg x="10" y="20" width="80" height="30" viewBox="0 0 10 10" preserveAspectRatio="none"><circle cx="5" cy="5" r="5"/></svg>',
    ),
    "nested-svg-overflow": (
        "8.5",
        '<svg x="30" y="30" width="20" height="20" overflow="visible"><circle r="25"/></svg>',
    ),
    "nested-svg-percent": (
        "8.9",
        '<svg x="10" y="10" width="50%" height="50%"><rect width="50%" height="100%"/></svg>',
    ),
    "switch-first": (
        "5.7",
        '<switch><rect systemLanguage="zz" width="50" height="50"/><circle cx="50" cy="50" r="30"/><rect width="9" height="9"/></switch>',
    ),
    "switch-language": (
        "5.7",
        '<switch><rect systemLanguage="en" width="50" height="50"/><circle cx="50" cy="50" r="30"/></switch>',
    ),
    "language-outside-switch": ("5.7", '<rect systemLanguage="en" width="50" height="50"/>'),
    "link": ("16.2", '<a href="#x">' + R.format("") + "</a>"),
    "unknown-element": ("5.2", "<nonsense>" + R.format("") + '</nonsense><path d="M2 2h30v30H2z"/>'),
    "foreign-namespace": ("5.2", '<x:g xmlns:x="urn:x">' + R.format("") + '</x:g><path d="M2 2h30v30H2z"/>'),
    # Clipping and masking
    "clip": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath>' + R.format('clip-path="url(#c)"'),
    ),
    "clip-rule": (
        "CSS Masking 1, 5.3",
        '<clipPath id="c"><path clip-rule="evenodd" d="M50 5L77 90 5 37h90L23 90z"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    ),
    "clip-fill-rule-does-not-count": (
        "CSS Masking 1, 5.3",
        '<clipPath id="c"><path fill-rule="evenodd" d="M50 5L77 90 5 37h90L23 90z"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    ),
    "clip-two-shapes": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><circle cx="40" cy="50" r="20"/><circle cx="60" cy="50" r="20"/></clipPath>'
        + R.format('clip-path="url(#c)"'),
    ),
    "clip-by-box": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c" clipPathUnits="objectBoundingBox"><circle cx=".5" cy=".5" r=".4"/></clipPath>'
        + R.format('clip-path="url(#c)" stroke="#000" stroke-width="20"'),
    ),
    "clip-of-group-by-box": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height=".5"/></clipPath><g clip-path="url(#c)"><rect x="10" y="10" width="30" height="30"/><circle cx="70" cy="70" r="20"/></g>',
    ),
    "clip-transform": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c" transform="rotate(20)"><rect x="40" y="10" width="40" height="40"/></clipPath>'
        + R.format('clip-path="url(#c)"'),
    ),
    "clip-child-transform": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><rect width="30" height="30" transform="translate(40 40) rotate(45)"/></clipPath>'
        + R.format('clip-path="url(#c)"'),
    ),
    "clip-child-clipped": (
        "CSS Masking 1, 5.1",
        '<clipPath id="d"><rect width="50" height="100"/></clipPath><clipPath id="c"><circle cx="50" cy="50" r="30" clip-path="url(#d)"/></clipPath>'
        + R.format('clip-path="url(#c)"'),
    ),
    "clip-clipped": (
        "CSS Masking 1, 5.1",
        '<clipPath id="d"><rect width="50" height="100"/></clipPath><clipPath id="c" clip-path="url(#d)"><circle cx="50" cy="50" r="30"/></clipPath>'
        + R.format('clip-path="url(#c)"'),
    ),
    "clip-use": (
        "CSS Masking 1, 5.1",
        '<defs><circle id="k" cx="50" cy="50" r="30"/></defs><clipPath id="c"><use href="#k"/></clipPath>'
        + R.format('clip-path="url(#c)"'),
    ),
    "clip-hidden-child": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><circle cx="50" cy="50" r="30"/><rect width="100" height="40" visibility="hidden"/></clipPath>'
        + R.format('clip-path="url(#c)"'),
    ),
    "clip-group-child-ignored": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><circle cx="50" cy="50" r="20"/><g><rect width="100" height="100"/></g></clipPath>'
        + R.format('clip-path="url(#c)"'),
    ),
    "clip-empty": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"/>' + R.format('clip-path="url(#c)"') + '<path d="M2 2h30v30H2z"/>',
    ),
    "clip-missing": ("CSS Masking 1, 5.1", R.format('clip-path="url(#nothing)"')),
    "clip-ignores-stroke": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><circle cx="50" cy="50" r="20" stroke="#000" stroke-width="20"/></clipPath>'
        + R.format('clip-path="url(#c)"'),
    ),
    "mask-luminance": (
        "CSS Masking 1, 6.2",
        '<mask id="m"><rect width="100" height="100" fill="#fff"/><circle cx="50" cy="50" r="20" fill="#000"/></mask>'
        + R.format('mask="url(#m)"'),
    ),
    "mask-grey-over-half": (
        "CSS Masking 1, 6.2",
        '<mask id="m"><rect width="100" height="100" fill="#aaa"/></mask>' + R.format('mask="url(#m)"'),
    ),
    "mask-grey-under-half": (
        "CSS Masking 1, 6.2",
        '<mask id="m"><rect width="100" height="100" fill="#555"/></mask>'
        + R.format('mask="url(#m)"')
        + '<path d="M2 2h30v30H2z"/>',
    ),
    "mask-opacity": (
        "CSS Masking 1, 6.2",
        '<mask id="m"><circle cx="50" cy="50" r="30" fill="#fff" opacity=".7"/></mask>' + R.format('mask="url(#m)"'),
    ),
    "mask-alpha": (
        "CSS Masking 1, 6.3",
        '<mask id="m" mask-type="alpha"><circle cx="50" cy="50" r="30"/></mask>' + R.format('mask="url(#m)"'),
    ),
    "mask-default-region": (
        "CSS Masking 1, 6.1",
        '<mask id="m"><rect width="100" height="100" fill="#fff"/></mask><rect x="30" y="30" width="40" height="40" stroke="#000" stroke-width="30" mask="url(#m)"/>',
    ),
    "mask-user-space-region": (
        "CSS Masking 1, 6.1",
        '<mask id="m" maskUnits="userSpaceOnUse" x="30" y="30" width="30" height="60"><rect width="100" height="100" fill="#fff"/></mask>'
        + R.format('mask="url(#m)"'),
    ),
    "mask-content-by-box": (
        "CSS Masking 1, 6.1",
        '<mask id="m" maskContentUnits="objectBoundingBox"><circle cx=".5" cy=".5" r=".5" fill="#fff"/></mask>'
        + R.format('mask="url(#m)"'),
    ),
    "mask-masked": (
        "CSS Masking 1, 6.1",
        '<mask id="n"><rect width="50" height="100" fill="#fff"/></mask><mask id="m" mask="url(#n)"><circle cx="50" cy="50" r="30" fill="#fff"/></mask>'
        + R.format('mask="url(#m)"'),
    ),
    "mask-missing": ("CSS Masking 1, 6.1", R.format('mask="url(#nothing)"')),
    # Paint servers
    "linear-default": (
        "14.2.2",
        '<linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "linear-diagonal": (
        "14.2.2",
        '<linearGradient id="g" x2="1" y2="1"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><rect x="5" y="30" width="90" height="40" fill="url(#g)"/>',
    ),
    "linear-user-space": (
        "14.2.2",
        '<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="20" y1="20" x2="60" y2="40"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "linear-transform": (
        "14.2.2",
        '<linearGradient id="g" gradientTransform="rotate(40)"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "linear-repeat": (
        "14.2.2",
        '<linearGradient id="g" x2=".3" spreadMethod="repeat"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "linear-reflect": (
        "14.2.2",
        '<linearGradient id="g" x2=".3" spreadMethod="reflect"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "linear-hard-stops": (
        "14.2.4",
        '<linearGradient id="g"><stop offset=".3" stop-color="#fff"/><stop offset=".3"/><stop offset=".6"/><stop offset=".6" stop-color="#fff"/></linearGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "linear-stop-opacity": (
        "14.2.4",
        '<linearGradient id="g"><stop offset="0" stop-opacity=".9"/><stop offset="1" stop-opacity=".1"/></linearGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "linear-offsets-never-go-back": (
        "14.2.4",
        '<linearGradient id="g"><stop offset=".5"/><stop offset=".2" stop-color="#fff"/><stop offset="1" stop-color="#fff"/></linearGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "linear-one-stop": (
        "14.2.4",
        '<linearGradient id="g"><stop offset=".5" stop-color="#222"/></linearGradient>' + R.format('fill="url(#g)"'),
    ),
    "linear-no-stops": (
        "14.2.4",
        '<linearGradient id="g"/>' + R.format('fill="url(#g)"') + '<path d="M2 2h30v30H2z"/>',
    ),
    "linear-no-length": (
        "14.2.2",
        '<linearGradient id="g" x2="0"><stop offset="0" stop-color="#fff"/><stop offset="1"/></linearGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "linear-takes-stops-over": (
        "14.2.2",
        '<linearGradient id="h"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><linearGradient id="g" href="#h" x1="1" x2="0"/>'
        + R.format('fill="url(#g)"'),
    ),
    "gradient-on-stroke": (
        "14.2",
        '<linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient>'
        + R.format('fill="none" stroke="url(#g)" stroke-width="20"'),
    ),
    "gradient-in-translucent-group": (
        "14.2",
        '<linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><g opacity=".8">'
        + R.format('fill="url(#g)"')
        + "</g>",
    ),
    "gradient-styled-stops": (
        "14.2.4",
        '<style>.a{stop-color:#000}.b{stop-color:#fff}</style><linearGradient id="g"><stop class="a" offset="0"/><stop class="b" offset="70%"/></linearGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "radial-default": (
        "14.2.3",
        '<radialGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></radialGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "radial-focus": (
        "14.2.3",
        '<radialGradient id="g" fx=".25" fy=".4"><stop offset="0"/><stop offset="1" stop-color="#fff"/></radialGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "radial-user-space": (
        "14.2.3",
        '<radialGradient id="g" gradientUnits="userSpaceOnUse" cx="40" cy="60" r="30"><stop offset=".2" stop-color="#fff"/><stop offset="1"/></radialGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "radial-repeat": (
        "14.2.3",
        '<radialGradient id="g" r=".2" spreadMethod="repeat"><stop offset="0"/><stop offset="1" stop-color="#fff"/></radialGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "radial-reflect": (
        "14.2.3",
        '<radialGradient id="g" r=".2" spreadMethod="reflect"><stop offset="0"/><stop offset="1" stop-color="#fff"/></radialGradient>'
        + R.format('fill="url(#g)"'),
    ),
    "radial-ellipse": (
        "14.2.3",
        '<radialGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></radialGradient><rect x="5" y="30" width="90" height="40" fill="url(#g)"/>',
    ),
    "paint-fallback-colour": ("13.2", R.format('fill="url(#nothing) #333"')),
    "paint-missing-is-none": ("13.2", R.format('fill="url(#nothing)"') + '<path d="M2 2h30v30H2z"/>'),
    "pattern-user-space": (
        "14.3",
        '<pattern id="p" patternUnits="userSpaceOnUse" width="20" height="15"><rect width="10" height="8"/></pattern>'
        + R.format('fill="url(#p)"'),
    ),
    "pattern-offset": (
        "14.3",
        '<pattern id="p" patternUnits="userSpaceOnUse" x="7" y="4" width="20" height="15"><rect width="10" height="8"/></pattern>'
        + R.format('fill="url(#p)"'),
    ),
    "pattern-by-box": (
        "14.3",
        '<pattern id="p" width=".25" height=".25"><circle cx="5" cy="5" r="5"/></pattern>' + R.format('fill="url(#p)"'),
    ),
    "pattern-content-by-box": (
        "14.3",
        '<pattern id="p" width=".25" height=".25" patternContentUnits="objectBoundingBox"><rect width=".1" height=".15"/></pattern>'
        + R.format('fill="url(#p)"'),
    ),
    "pattern-view-box": (
        "14.3",
        '<pattern id="p" patternUnits="userSpaceOnUse" width="20" height="20" viewBox="0 0 4 4"><circle cx="2" cy="2" r="1.5"/></pattern>'
        + R.format('fill="url(#p)"'),
    ),
    "pattern-transform": (
        "14.3",
        '<pattern id="p" patternUnits="userSpaceOnUse" width="10" height="10" patternTransform="rotate(30) scale(1.5)"><rect width="5" height="10"/></pattern>'
        + R.format('fill="url(#p)"'),
    ),
    "pattern-takes-over": (
        "14.3",
        '<pattern id="q" patternUnits="userSpaceOnUse" width="10" height="10"><rect width="5" height="5"/></pattern><pattern id="p" href="#q" patternTransform="scale(2)"/>'
        + R.format('fill="url(#p)"'),
    ),
    # Markers
    "marker-end": (
        "13.7",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2" orient="auto"><path d="M0 0L4 2 0 4z"/></marker><path d="M20 80L50 20 80 60" fill="none" stroke="#000" stroke-width="5" marker-end="url(#m)"/>',
    ),
    "marker-all": (
        "13.7",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2"><circle cx="2" cy="2" r="2"/></marker><polyline points="20,80 50,20 80,60" fill="none" stroke="#000" stroke-width="5" style="marker:url(#m)"/>',
    ),
    "marker-user-space": (
        "13.7",
        '<marker id="m" markerUnits="userSpaceOnUse" markerWidth="20" markerHeight="20" refX="10" refY="10"><rect width="20" height="20"/></marker><path d="M20 80L50 20 80 60" fill="none" stroke="#000" stroke-width="5" marker-mid="url(#m)"/>',
    ),
    "marker-view-box": (
        "13.7",
        '<marker id="m" markerWidth="5" markerHeight="5" refX="5" refY="5" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></marker><path d="M20 80L80 60" stroke="#000" stroke-width="4" marker-start="url(#m)"/>',
    ),
    "marker-angle": (
        "13.7",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2" orient="45"><rect width="4" height="4"/></marker><path d="M50 50h30" stroke="#000" stroke-width="6" marker-start="url(#m)"/>',
    ),
    "marker-start-reverse": (
        "13.7",
        '<marker id="m" markerWidth="4" markerHeight="4" refX="0" refY="2" orient="auto-start-reverse"><path d="M0 0L4 2 0 4z"/></marker><path d="M40 50h30" stroke="#000" stroke-width="5" marker-start="url(#m)" marker-end="url(#m)"/>',
    ),
    "marker-clipped": (
        "13.7",
        '<marker id="m" markerWidth="2" markerHeight="2"><circle r="3"/></marker><path d="M50 50h30" stroke="#000" stroke-width="6" marker-start="url(#m)"/>',
    ),
    "marker-on-curve": (
        "13.7",
        '<marker id="m" markerWidth="3" markerHeight="3" refX="0" refY="1.5" orient="auto"><path d="M0 0L3 1.5 0 3z"/></marker><path d="M20 70C20 10 80 10 80 70" fill="none" stroke="#000" stroke-width="5" marker-end="url(#m)" marker-start="url(#m)"/>',
    ),
    "marker-context-stroke": (
        "13.4",
        '<marker id="m" markerWidth="3" markerHeight="3" refX="1.5" refY="1.5"><circle cx="1.5" cy="1.5" r="1.5" fill="context-stroke"/></marker><path d="M20 30H60" stroke="#000" stroke-width="9" marker-end="url(#m)"/><path d="M20 60H60" stroke="#ddd" stroke-width="9" marker-end="url(#m)"/>',
    ),
    "use-context-fill": (
        "13.4",
        '<defs><rect id="r" width="30" height="30" fill="context-fill"/></defs><use href="#r" x="10" y="10"/><use href="#r" x="50" y="50" fill="#eee"/>',
    ),
    # Text
    "text": ("11.2", '<text x="5" y="60" font-family="Noto Sans" font-size="36">Seed</text>'),
    "text-bold": ("11.3", '<text x="5" y="60" font-family="Noto Sans" font-weight="bold" font-size="36">Oak</text>'),
    "text-font-shorthand": ("CSS Fonts 4, 2.7", '<text x="5" y="60" style="font: bold 30px Noto Sans">Elm</text>'),
    "text-anchor-middle": (
        "11.10.1",
        '<text x="50" y="60" text-anchor="middle" font-family="Noto Sans" font-size="30">Elm</text>',
    ),
    "text-anchor-end": (
        "11.10.1",
        '<text x="90" y="60" text-anchor="end" font-family="Noto Sans" font-size="30">Elm</text>',
    ),
    "text-kerned": ("11.2", '<text x="5" y="60" font-family="Noto Sans" font-size="36">AVAT</text>'),
    "text-tspan-moved": (
        "11.2",
        '<text x="5" y="40" font-family="Noto Sans" font-size="30">A<tspan dy="20">B</tspan><tspan dx="5">C</tspan></text>',
    ),
    "text-tspan-placed": (
        "11.2",
        '<text x="5" y="40" font-family="Noto Sans" font-size="30">A<tspan x="10" y="80">Row</tspan></text>',
    ),
    "text-tspan-styled": (
        "11.2",
        '<text x="5" y="60" font-family="Noto Sans" font-size="20">ab<tspan font-weight="bold" font-size="40">cd</tspan></text>',
    ),
    "text-positions-listed": (
        "11.6",
        '<text x="5 30 60" y="40 50 60" font-family="Noto Sans" font-size="30">ABCD</text>',
    ),
    "text-rotated": ("11.6", '<text x="20" y="60" rotate="20 -20" font-family="Noto Sans" font-size="30">ABC</text>'),
    "text-letter-spacing": (
        "11.3",
        '<text x="5" y="60" letter-spacing="6" font-family="Noto Sans" font-size="24">Abcd</text>',
    ),
    "text-word-spacing": (
        "11.3",
        '<text x="5" y="60" word-spacing="15" font-family="Noto Sans" font-size="20">a b c</text>',
    ),
    "text-white-space": ("11.7", '<text x="5" y="60" font-family="Noto Sans" font-size="24">  a   b\n  c </text>'),
    "text-space-preserved": (
        "11.7",
        '<text x="5" y="60" xml:space="preserve" font-family="Noto Sans" font-size="24"> a  b</text>',
    ),
    "text-stroked": (
        "11.2",
        '<text x="5" y="70" font-family="Noto Sans" font-size="60" fill="none" stroke="#000" stroke-width="3">Ab</text>',
    ),
    "text-baseline-super": (
        "11.10.3",
        '<text x="5" y="70" font-family="Noto Sans" font-size="36">m<tspan baseline-shift="10">2</tspan></text>',
    ),
    "text-length": ("11.4", '<text x="5" y="60" textLength="85" font-family="Noto Sans" font-size="20">Abcd</text>'),
    "text-length-glyphs": (
        "11.4",
        '<text x="5" y="60" textLength="85" lengthAdjust="spacingAndGlyphs" font-family="Noto Sans" font-size="20">Abcd</text>',
    ),
    "text-gradient": (
        "14.2",
        '<linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><text x="5" y="70" fill="url(#g)" font-family="Noto Sans" font-weight="bold" font-size="50">Oak</text>',
    ),
    "text-as-clip": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><text x="5" y="70" font-family="Noto Sans" font-weight="bold" font-size="50">Oak</text></clipPath><rect width="100" height="60" clip-path="url(#c)"/>',
    ),
    "text-used": (
        "5.6",
        '<defs><text id="t" font-family="Noto Sans" font-size="30">Elm</text></defs><use href="#t" x="10" y="60"/>',
    ),
    "text-hidden-span": (
        "11.2",
        '<text x="5" y="60" font-family="Noto Sans" font-size="30">A<tspan visibility="hidden">B</tspan>C</text>',
    ),
    "text-span-not-displayed": (
        "11.2",
        '<text x="5" y="60" font-family="Noto Sans" font-size="30">A<tspan display="none">B</tspan>C</text>',
    ),
    "text-em-size": (
        "8.9",
        '<g font-size="20"><text x=".2em" y="2em" font-size="2em" font-family="Noto Sans">Elm</text></g>',
    ),
}
