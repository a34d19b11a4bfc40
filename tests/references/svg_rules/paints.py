"""Gradients and patterns: one small drawing for each rule."""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

R = '<rect x="20" y="20" width="60" height="60" {}/>'

RULES = {
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
    "linear-percent-user": (
        "14.2.2",
        '<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="10%" x2="80%"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "linear-href-other-attrs": (
        "14.2.2",
        '<linearGradient id="h" x1="0" x2="0" y2="1"><stop/><stop offset="1" stop-color="#fff"/></linearGradient><linearGradient id="g" href="#h"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "linear-href-radial": (
        "14.2.2",
        '<radialGradient id="h" gradientUnits="userSpaceOnUse"><stop/><stop offset="1" stop-color="#fff"/></radialGradient><linearGradient id="g" xlink:href="#h" x1="20" x2="80"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "linear-stop-percent": (
        "14.2.4",
        '<linearGradient id="g" ><stop offset="20%"/><stop offset="60%" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "linear-stop-current": (
        "14.2.4",
        '<g color="#fff"><linearGradient id="g"><stop stop-color="currentColor"/><stop offset="1"/></linearGradient></g><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "linear-stop-inherit": (
        "14.2.4",
        '<linearGradient id="g" stop-color="#fff"><stop stop-color="inherit"/><stop offset="1"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "linear-stop-opacity-percent": (
        "14.2.4",
        '<linearGradient id="g" ><stop stop-opacity="10%"/><stop offset="1"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "linear-three-stops-eq": (
        "14.2.4",
        '<linearGradient id="g" ><stop offset=".5"/><stop offset=".5" stop-color="#fff"/><stop offset=".5" stop-color="#000"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "linear-not-stop-child": (
        "14.2.4",
        '<linearGradient id="g" ><rect/><stop/><g><stop offset="1" stop-color="#fff"/></g><stop offset="1" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "linear-in-g-transform": (
        "14.2.2",
        '<g transform="rotate(30 50 50)"><linearGradient id="g" ><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" /></g>',
    ),
    "radial-fr": (
        "14.2.3",
        '<radialGradient id="g" fr=".3"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "radial-fr-focal": (
        "14.2.3",
        '<radialGradient id="g" fx=".3" fy=".3" fr=".2"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "radial-fr-big": (
        "14.2.3",
        '<radialGradient id="g" fr=".7"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" /><path d="M60 60h30v30z"/>',
    ),
    "radial-fr-repeat": (
        "14.2.3",
        '<radialGradient id="g" fr=".1" r=".3" spreadMethod="repeat"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "radial-transform": (
        "14.2.3",
        '<radialGradient id="g" gradientTransform="rotate(30) scale(1 .5)"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "radial-href-lin": (
        "14.2.3",
        '<linearGradient id="h"><stop/><stop offset="1" stop-color="#fff"/></linearGradient><radialGradient id="g" href="#h" fx=".3"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "pattern-viewbox-par": (
        "14.3",
        '<pattern id="p" width="20" height="10" viewBox="0 0 10 10" preserveAspectRatio="xMaxYMid slice" patternUnits="userSpaceOnUse"><circle cx="5" cy="5" r="4"/></pattern><rect x="20" y="20" width="60" height="60" fill="url(#p)"/>',
    ),
    "pattern-nested": (
        "14.3",
        '<pattern id="q" width="4" height="4" patternUnits="userSpaceOnUse"><rect width="2" height="4"/></pattern><pattern id="p" width="20" height="20" patternUnits="userSpaceOnUse"><rect width="14" height="14" fill="url(#q)"/></pattern><rect x="20" y="20" width="60" height="60" fill="url(#p)"/>',
    ),
    "pattern-text-target": (
        "14.3",
        '<pattern id="p" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="3" height="6"/></pattern><text x="5" y="60" font-size="40" font-family="Noto Sans" font-weight="bold" fill="url(#p)">Seed</text>',
    ),
    "pattern-stroke": (
        "14.3",
        '<pattern id="p" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="3" height="6"/></pattern><rect x="20" y="20" width="60" height="60" fill="none" stroke="url(#p)" stroke-width="15"/>',
    ),
    "pattern-content-text": (
        "14.3",
        '<pattern id="p" width="20" height="20" patternUnits="userSpaceOnUse"><text y="15" font-size="16" font-family="Noto Sans">A</text></pattern><rect x="20" y="20" width="60" height="60" fill="url(#p)"/>',
    ),
    "pattern-href-children": (
        "14.3",
        '<pattern id="h" width="10" height="10" patternUnits="userSpaceOnUse"><rect width="5" height="5"/></pattern><pattern id="p" href="#h" width="20"/><rect x="20" y="20" width="60" height="60" fill="url(#p)"/>',
    ),
    "pattern-xy-out": (
        "14.3",
        '<pattern id="p" x="3" y="-4" width="10" height="10" patternUnits="userSpaceOnUse"><rect x="5" y="-2" width="5" height="5"/></pattern><rect x="20" y="20" width="60" height="60" fill="url(#p)"/>',
    ),
    "pattern-with-gradient": (
        "14.3",
        '<pattern id="p" width="20" height="20" patternUnits="userSpaceOnUse"><linearGradient id="g"><stop/><stop offset="1" stop-color="#fff"/></linearGradient><rect width="20" height="20" fill="url(#g)"/></pattern><rect x="20" y="20" width="60" height="60" fill="url(#p)"/>',
    ),
    "radial-cone": (
        "14.2.3",
        '<radialGradient id="g" fx=".9" fy=".9" fr=".1" r=".3"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "radial-cone-eq": (
        "14.2.3",
        '<radialGradient id="g" cx=".2" fx=".8" fr=".2" r=".2"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "radial-cone-shrink": (
        "14.2.3",
        '<radialGradient id="g" cx=".2" fx=".7" fr=".3" r=".1"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "radial-cone-repeat": (
        "14.2.3",
        '<radialGradient id="g" cx=".4" fx=".9" fr=".1" r=".2" spreadMethod="repeat"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" />',
    ),
    "radial-cone-trans": (
        "14.2.3",
        '<g transform="rotate(30 50 50) scale(.7)"><radialGradient id="g" fx=".9" fy=".9" fr=".1" r=".3"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" /></g>',
    ),
}
