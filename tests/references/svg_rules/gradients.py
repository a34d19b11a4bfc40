"""Gradients and patterns where renderers stumble: fallbacks, attributes taken over, opacity, blending.

One small drawing for each rule.
"""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

RULES = {
    "gradient-zero-line-none": (
        "14.2.1",
        '<rect width="9" height="9"/><linearGradient id="g" ><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><path d="M20 50H80" stroke-width="20" stroke="url(#g)"/>',
    ),
    "gradient-zero-line-colour": (
        "14.2.1",
        '<rect width="9" height="9"/><linearGradient id="g" ><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><path d="M20 50H80" stroke-width="20" stroke="url(#g) #000"/>',
    ),
    "gradient-zero-vline-cur": (
        "14.2.1",
        '<rect width="9" height="9"/><linearGradient id="g" ><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><line x1="50" x2="50" y1="20" y2="80" stroke-width="20" stroke="url(#g) currentColor"/>',
    ),
    "gradient-zero-rad-poly-colour": (
        "14.2.1",
        '<rect width="9" height="9"/><radialGradient id="g" ><stop offset="0"/><stop offset="1" stop-color="#fff"/></radialGradient><polyline points="20,50 80,50" stroke-width="20" stroke="url(#g) #000"/>',
    ),
    "pattern-zero-line-colour": (
        "14.2.1",
        '<rect width="9" height="9"/><pattern id="g" width=".2" height=".2"><rect width="5" height="5"/></pattern><path d="M20 50H80" stroke-width="20" stroke="url(#g) #000"/>',
    ),
    "pattern-zero-poly-none": (
        "14.2.1",
        '<rect width="9" height="9"/><pattern id="g" width=".2" height=".2"><rect width="5" height="5"/></pattern><polyline points="20,50 80,50" stroke-width="20" stroke="url(#g)"/>',
    ),
    "paint-bad-colour": (
        "14.2.1",
        '<rect width="9" height="9"/><g id="e"/><clipPath id="c"/><linearGradient id="n"/><linearGradient id="g" ><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="none" stroke="url(#no) bogus" stroke-width="10"/>',
    ),
    "gradient-zero-line-one-stop": (
        "14.2.1",
        '<rect width="9" height="9"/><linearGradient id="g"><stop stop-color="#000"/></linearGradient><path d="M20 50H80" stroke-width="20" stroke="url(#g)"/>',
        '<rect width="9" height="9"/>',
    ),
    "gradient-flat-fallback": (
        "14.2.1",
        '<linearGradient id="g" gradientTransform="scale(0)"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" fill="url(#g) #000"/>',
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" />',
    ),
    "href-rad-lin": (
        "14.2.2",
        '<linearGradient id="h" x1="1" x2="0" gradientTransform="rotate(20)" spreadMethod="reflect"><stop offset="0"/><stop offset=".5" stop-color="#fff"/></linearGradient><radialGradient id="g" href="#h"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
        '<radialGradient id="g" gradientTransform="rotate(20)" spreadMethod="reflect"><stop offset="0"/><stop offset=".5" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "href-lin-rad": (
        "14.2.2",
        '<radialGradient id="h" cx=".3" r=".3" fx=".2" spreadMethod="repeat" gradientTransform="scale(.8)"><stop offset="0"/><stop offset="1" stop-color="#fff"/></radialGradient><linearGradient id="g" href="#h"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
        '<linearGradient id="g" gradientTransform="scale(.8)" spreadMethod="repeat"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "href-lin-rad-lin": (
        "14.2.2",
        '<linearGradient id="k" x2="0" y2="1"><stop offset="0"/><stop offset=".5" stop-color="#fff"/></linearGradient><radialGradient id="h" r=".2" href="#k"/><linearGradient id="g" href="#h"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
        '<linearGradient id="g" x2="0" y2="1"><stop offset="0"/><stop offset=".5" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "href-rad-lin-rad": (
        "14.2.2",
        '<radialGradient id="k" r=".2" cx=".3"><stop offset="0"/><stop offset=".5" stop-color="#fff"/></radialGradient><linearGradient id="h" x2=".2" href="#k"/><radialGradient id="g" href="#h"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
        '<radialGradient id="g" r=".2" cx=".3"><stop offset="0"/><stop offset=".5" stop-color="#fff"/></radialGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "href-r-from-lin": (
        "14.2.2",
        '<linearGradient id="h" r=".2" cx=".3"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><radialGradient id="g" href="#h"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "href-x-from-rad": (
        "14.2.2",
        '<radialGradient id="h" x1="1" x2="0"><stop offset="0"/><stop offset="1" stop-color="#fff"/></radialGradient><linearGradient id="g" href="#h"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "href-units-rad-lin": (
        "14.2.2",
        '<linearGradient id="h" gradientUnits="userSpaceOnUse" x1="20" x2="80"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><radialGradient id="g" href="#h" cx="50" cy="50" r="30"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "gradient-x-bad": (
        "14.2.2",
        '<linearGradient id="g" x2="bogus"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "gradient-em": (
        "14.2.2",
        '<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="1em" x2="5em" font-size="15"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "gradient-stroke-opacity-.6": (
        "14.2",
        '<linearGradient id="g" x1=".4" x2=".6"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="none" stroke="url(#g)" stroke-width="20" stroke-opacity=".6"/>',
    ),
    "gradient-over-dark-stroke-opacity-.6": (
        "14.2",
        '<rect width="100" height="50"/><linearGradient id="g" ><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="none" stroke="url(#g)" stroke-width="20" stroke-opacity=".6"/>',
    ),
    "pattern-stroke-opacity-.6": (
        "14.2",
        '<pattern id="p" patternUnits="userSpaceOnUse" width="10" height="10"><rect width="6" height="6"/></pattern><rect x="20" y="20" width="60" height="60" fill="#777" stroke="url(#p)" stroke-width="20" stroke-opacity=".6"/>',
    ),
    "gradient-stop-hsl": (
        "14.2",
        '<linearGradient id="g"><stop stop-color="hsl(120,300%,10%)"/><stop offset="1" stop-color="hsl(0,0%,150%)"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "blend-gradient-multiply": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:multiply"/>',
    ),
    "blend-gradient-screen": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:screen"/>',
    ),
    "blend-gradient-overlay": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:overlay"/>',
    ),
    "blend-gradient-darken": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:darken"/>',
    ),
    "blend-gradient-lighten": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:lighten"/>',
    ),
    "blend-gradient-color-dodge": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:color-dodge"/>',
    ),
    "blend-gradient-color-burn": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:color-burn"/>',
    ),
    "blend-gradient-hard-light": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:hard-light"/>',
    ),
    "blend-gradient-soft-light": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:soft-light"/>',
    ),
    "blend-gradient-difference": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:difference"/>',
    ),
    "blend-gradient-hue": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:hue"/>',
    ),
    "blend-gradient-saturation": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:saturation"/>',
    ),
    "blend-gradient-color": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:color"/>',
    ),
    "blend-gradient-luminosity": (
        "CSS Compositing 1, 9",
        '<linearGradient id="b" x2="0" y2="1"><stop stop-color="#a30"/><stop offset="1" stop-color="#5cf"/></linearGradient><rect width="100" height="100" fill="url(#b)"/><linearGradient id="g"><stop stop-color="#063"/><stop offset="1" stop-color="#fd8"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)" style="mix-blend-mode:luminosity"/>',
    ),
    "gradient-under-veil": (
        "14.2",
        '<linearGradient id="g"><stop stop-color="#222"/><stop offset="1" stop-color="#bbb"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)"/><rect y="40" width="100" height="30" fill="#000" fill-opacity=".4"/>',
    ),
    "pattern-3": (
        "14.3",
        '<pattern id="a" patternUnits="userSpaceOnUse" width="40" height="40"><rect width="30" height="30" fill="url(#b)"/></pattern><pattern id="b" patternUnits="userSpaceOnUse" width="15" height="15"><rect width="12" height="12" fill="url(#c)"/></pattern><pattern id="c" patternUnits="userSpaceOnUse" width="4" height="4"><rect width="2" height="3"/></pattern><rect x="20" y="20" width="60" height="60" fill="url(#a)"/>',
    ),
    "pattern-stroke": (
        "14.3",
        '<pattern id="a" patternUnits="userSpaceOnUse" width="20" height="20"><path d="M0 10H20" stroke-width="8" stroke="url(#b)"/></pattern><pattern id="b" patternUnits="userSpaceOnUse" width="4" height="4"><rect width="2" height="4"/></pattern><rect x="20" y="20" width="60" height="60" fill="url(#a)"/>',
    ),
    "pattern-deep-8": (
        "14.3",
        '<pattern id="d0" patternUnits="userSpaceOnUse" width="40" height="40"><rect width="30" height="30" fill="url(#d1)"/></pattern><pattern id="d1" patternUnits="userSpaceOnUse" width="38" height="38"><rect width="28" height="28" fill="url(#d2)"/></pattern><pattern id="d2" patternUnits="userSpaceOnUse" width="36" height="36"><rect width="26" height="26" fill="url(#d3)"/></pattern><pattern id="d3" patternUnits="userSpaceOnUse" width="34" height="34"><rect width="24" height="24" fill="url(#d4)"/></pattern><pattern id="d4" patternUnits="userSpaceOnUse" width="32" height="32"><rect width="22" height="22" fill="url(#d5)"/></pattern><pattern id="d5" patternUnits="userSpaceOnUse" width="30" height="30"><rect width="20" height="20" fill="url(#d6)"/></pattern><pattern id="d6" patternUnits="userSpaceOnUse" width="28" height="28"><rect width="18" height="18" fill="url(#d7)"/></pattern><pattern id="d7" patternUnits="userSpaceOnUse" width="26" height="26"><rect width="5" height="9"/></pattern><rect x="20" y="20" width="60" height="60" fill="url(#d0)"/>',
    ),
    "pattern-use": (
        "14.3",
        '<pattern id="a" patternUnits="userSpaceOnUse" width="20" height="20"><use href="#q"/></pattern><defs><rect id="q" width="15" height="15" fill="url(#b)"/></defs><pattern id="b" patternUnits="userSpaceOnUse" width="5" height="5"><rect width="2" height="5"/></pattern><rect x="20" y="20" width="60" height="60" fill="url(#a)"/>',
    ),
    "pattern-stroke-zero-w": (
        "14.3",
        '<pattern id="g" width="0" height="5" patternUnits="userSpaceOnUse"><rect width="5" height="5"/></pattern><rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" fill="url(#g) #000"/>',
    ),
    "pattern-neg-w": (
        "14.3",
        '<pattern id="g" width="-5" height="5" patternUnits="userSpaceOnUse"><rect width="5" height="5"/></pattern><rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" fill="url(#g) #000"/>',
    ),
    "pattern-nochild": (
        "14.3",
        '<pattern id="g" width="5" height="5" patternUnits="userSpaceOnUse"/><rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" fill="url(#g) #000"/>',
    ),
    "radial-repeated-far-off": (
        "14.2.3",
        '<radialGradient id="g" gradientUnits="userSpaceOnUse" cx="2000" cy="300" r="12" spreadMethod="repeat"><stop offset=".4"/><stop offset=".4" stop-color="#fff"/></radialGradient><rect x="10" y="10" width="80" height="70" fill="url(#g)"/>',
    ),
    "radial-reflected-far-off": (
        "14.2.3",
        '<radialGradient id="g" gradientUnits="userSpaceOnUse" cx="-1500" cy="50" fx="-1504" r="14" spreadMethod="reflect"><stop offset=".4"/><stop offset=".4" stop-color="#fff"/></radialGradient><circle cx="50" cy="50" r="40" fill="url(#g)"/>',
    ),
}
