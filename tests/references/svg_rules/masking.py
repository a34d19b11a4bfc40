"""Clip paths and masks: one small drawing for each rule."""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

R = '<rect x="20" y="20" width="60" height="60" {}/>'

RULES = {
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
    "clip-text-child": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><text x="5" y="60" font-family="Noto Sans" font-weight="bold" font-size="40">Seed</text></clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    ),
    "clip-text-tspan": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><text x="5" y="60" font-family="Noto Sans" font-weight="bold" font-size="30">Se<tspan dy="20">ed</tspan></text></clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    ),
    "clip-symbol": (
        "CSS Masking 1, 5.1",
        '<symbol id="g"><rect width="50" height="50"/></symbol><clipPath id="c"><use href="#g"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/><path d="M60 60h30v30z"/>',
    ),
    "clip-self-recursive": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c" clip-path="url(#c)"><rect width="50" height="50"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/><path d="M60 60h30v30z"/>',
    ),
    "clip-recursive": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c" clip-path="url(#d)"><rect width="50" height="50"/></clipPath><clipPath id="d" clip-path="url(#c)"><rect width="50" height="50"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/><path d="M60 60h30v30z"/>',
    ),
    "clip-invalid-transform": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c" transform="scale(0)"><rect width="50" height="50"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/><path d="M60 60h30v30z"/>',
    ),
    "clip-child-fill-none": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><rect width="50" height="50" fill="none"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    ),
    "clip-rule-from-clippath": (
        "CSS Masking 1, 5.2",
        '<clipPath id="c" clip-rule="evenodd"><path d="M50 5L77 90 5 37h90L23 90z"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    ),
    "clip-rule-on-target-no": (
        "CSS Masking 1, 5.2",
        '<clipPath id="c"><path d="M50 5L77 90 5 37h90L23 90z"/></clipPath><rect width="100" height="100" clip-path="url(#c)" clip-rule="evenodd"/>',
    ),
    "clip-transform-target": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath><rect width="100" height="100" transform="rotate(20) scale(.8)" clip-path="url(#c)"/>',
    ),
    "clip-obb-text": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath><text x="5" y="60" font-family="Noto Sans" font-weight="bold" font-size="40" clip-path="url(#c)">Seed</text>',
    ),
    "clip-on-nested-svg": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath><svg x="10" y="10" clip-path="url(#c)"><rect width="100" height="100"/></svg>',
    ),
    "clip-g-display-none": (
        "CSS Masking 1, 5.1",
        '<g display="none"><clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath></g><rect width="100" height="100" clip-path="url(#c)"/>',
    ),
    "clip-units-percent": (
        "8.9",
        '<clipPath id="c"><rect width="50%" height="30%"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    ),
    "mask-on-self-child": (
        "CSS Masking 1, 6",
        '<mask id="m"><rect width="100" height="50" fill="#fff" mask="url(#n)"/></mask><mask id="n"><circle cx="50" cy="50" r="30" fill="#fff"/></mask><rect width="100" height="100" mask="url(#m)"/>',
    ),
    "mask-self-recursive": (
        "CSS Masking 1, 6",
        '<mask id="m" mask="url(#m)"><rect width="100" height="50" fill="#fff"/></mask><rect width="100" height="100" mask="url(#m)"/><path d="M60 60h30v30z"/>',
    ),
    "mask-recursive-child": (
        "CSS Masking 1, 6",
        '<mask id="m"><rect width="100" height="50" fill="#fff" mask="url(#m)"/></mask><rect width="100" height="100" mask="url(#m)"/><path d="M60 60h30v30z"/>',
    ),
    "mask-horizontal-line": (
        "CSS Masking 1, 6",
        '<mask id="m"><rect width="100" height="100" fill="#fff"/></mask><path d="M10 30h80" stroke="#000" stroke-width="10" mask="url(#m)"/><path d="M60 60h30v30z"/>',
    ),
    "mask-with-gradient": (
        "CSS Masking 1, 6.2",
        '<mask id="m"><linearGradient id="g"><stop stop-color="#000"/><stop offset="1" stop-color="#fff"/></linearGradient><rect width="100" height="100" fill="url(#g)"/></mask><rect width="100" height="100" mask="url(#m)"/>',
    ),
    "mask-with-opacity": (
        "3.6",
        '<mask id="m"><rect width="100" height="100" fill="#fff"/></mask><rect x="20" y="20" width="60" height="60" opacity=".8" mask="url(#m)"/>',
    ),
    "mask-text": (
        "CSS Masking 1, 6",
        '<mask id="m"><text x="5" y="60" font-family="Noto Sans" font-weight="bold" font-size="40" fill="#fff">Seed</text></mask><rect width="100" height="100" mask="url(#m)"/>',
    ),
    "mask-on-group-rotate": (
        "CSS Masking 1, 6",
        '<mask id="m" x="0" y="0" width=".5" height="1"><rect width="100" height="100" fill="#fff"/></mask><g transform="rotate(20 50 50)" mask="url(#m)"><rect x="20" y="20" width="60" height="60" /></g>',
    ),
    "mask-type-style": (
        "CSS Masking 1, 6.2",
        '<mask id="m" style="mask-type:alpha"><rect width="100" height="50" fill="#000"/></mask><rect width="100" height="100" mask="url(#m)"/>',
    ),
    "mask-obb-content-text": (
        "CSS Masking 1, 6",
        '<mask id="m" maskContentUnits="objectBoundingBox"><rect width=".5" height="1" fill="#fff"/></mask><text x="5" y="60" font-family="Noto Sans" font-weight="bold" font-size="40" mask="url(#m)">Seed</text>',
    ),
    "mask-red": (
        "CSS Masking 1, 6.2",
        '<mask id="m"><rect width="100" height="50" fill="red"/><rect y="50" width="100" height="50" fill="lime"/></mask><rect width="100" height="100" mask="url(#m)"/>',
    ),
    "mask-group-opacity-in": (
        "CSS Masking 1, 6",
        '<mask id="m"><g opacity=".6"><rect width="100" height="50" fill="#fff"/></g></mask><rect width="100" height="100" mask="url(#m)"/>',
    ),
    "mask-and-clip": (
        "CSS Masking 1, 2",
        '<clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath><mask id="m"><rect width="100" height="50" fill="#fff"/></mask><rect width="100" height="100" mask="url(#m)" clip-path="url(#c)"/>',
    ),
    "mask-zero": (
        "CSS Masking 1, 6",
        '<mask id="m" width="0"><rect width="100" height="50" fill="#fff"/></mask><rect width="100" height="100" mask="url(#m)"/><path d="M60 60h30v30z"/>',
    ),
    "mask-on-use": (
        "5.6",
        '<mask id="m"><circle cx="50" cy="50" r="30" fill="#fff"/></mask><defs><rect id="r" width="100" height="100"/></defs><use href="#r" x="10" mask="url(#m)"/>',
    ),
}

SHAPED = {
    "circle": ("circle(30px at 40px 50px)", '<circle cx="50" cy="60" r="30"/>'),
    "circle-nearest": ("circle()", '<circle cx="40" cy="50" r="30"/>'),
    "circle-farthest": ("circle(farthest-side at 10px 10px)", '<circle cx="20" cy="20" r="70"/>'),
    "circle-percent": ("circle(50%)", '<circle cx="40" cy="50" r="35.3553"/>'),
    "circle-corner": ("circle(20px at right bottom)", '<circle cx="70" cy="90" r="20"/>'),
    "circle-swapped": ("circle(20px at bottom left)", '<circle cx="10" cy="90" r="20"/>'),
    "circle-unknown": ("circle(no-such-side)", '<rect x="10" y="10" width="60" height="80"/>'),
    "ellipse": ("ellipse(20px 30px at right 10px top 25%)", '<ellipse cx="60" cy="30" rx="20" ry="30"/>'),
    "ellipse-nearest": ("ellipse()", '<ellipse cx="40" cy="50" rx="30" ry="40"/>'),
    "inset": ("inset(10px 20% 5px)", '<rect x="22" y="20" width="36" height="65"/>'),
    "inset-round": ("inset(5px round 20px)", '<rect x="15" y="15" width="50" height="70" rx="20"/>'),
    "inset-round-much": ("inset(5px round 99px)", '<rect x="15" y="15" width="50" height="70" rx="25"/>'),
    "inset-corners": (
        "inset(0 round 30px 0 / 10px 0)",
        '<path d="M40 10H70V80A30 10 0 0 1 40 90H10V20A30 10 0 0 1 40 10z"/>',
    ),
    "polygon": ("polygon(0 0, 100% 0, 50% 100%)", '<path d="M10 10H70L40 90z"/>'),
    "polygon-even": (
        "polygon(evenodd, 0 0, 60px 0, 60px 80px, 0 80px, 0 20px, 40px 20px, 40px 60px, 0 60px)",
        '<path d="M10 10H70V90H10V70H50V30H10z"/>',
    ),
    "path": ("path('M0 0h40v30h-20z')", '<path d="M10 10h40v30h-20z"/>'),
    "rect": ("rect(auto 50px 40px 10px)", '<path d="M20 10H60V50H20z"/>'),
    "xywh": ("xywh(5px 10% 50% 30px round 5px)", '<rect x="15" y="18" width="30" height="30" rx="5"/>'),
    "box": ("view-box", '<rect x="10" y="10" width="60" height="80"/>'),
    "in-box": ("circle(30px) view-box", '<path d="M50 20A30 30 0 0 1 70 27.6393V72.3607A30 30 0 1 1 50 20z"/>'),
}
"""Shapes as clip paths of an upright rectangle, and plain drawings of what they show, where it has ink."""

UPRIGHT = '<rect x="10" y="10" width="60" height="80" {}/>'

RULES |= {
    f"clip-shape-{name}": (
        "CSS Masking 1, 5.1; CSS Shapes 1, 3",
        UPRIGHT.format(f'style="clip-path:{shape}"'),
        f'<clipPath id="c">{UPRIGHT.format("")}</clipPath><g clip-path="url(#c)">{means}</g>',
    )
    for name, (shape, means) in SHAPED.items()
}

RULES |= {
    "clip-shape-fill-box": (
        "CSS Masking 1, 5.1",
        '<rect x="20" y="20" width="60" height="60" stroke="#000" stroke-width="20" style="clip-path:fill-box"/>',
        '<rect x="20" y="20" width="60" height="60"/>',
    ),
    "clip-shape-stroke-box": (
        "CSS Masking 1, 5.1",
        '<path d="M20 50H80" stroke="#000" stroke-width="40" stroke-linecap="round" style="clip-path:inset(10px 15px)"/>',
        '<rect x="15" y="40" width="70" height="20"/>',
    ),
    "clip-shape-of-a-group": (
        "CSS Masking 1, 5.1",
        '<g style="clip-path:circle(closest-side)"><path d="M20 30H80" stroke="#000" stroke-width="20"/><rect x="40" y="20" width="40" height="60"/></g>',
        '<clipPath id="c"><circle cx="50" cy="50" r="30"/></clipPath><g clip-path="url(#c)"><path d="M20 20H80V80H40V40H20z"/></g>',
    ),
    "clip-shape-on-a-clip-path": (
        "CSS Masking 1, 5.1",
        '<clipPath id="c" style="clip-path:circle(30px)"><path d="M0 0H50V99H0z"/></clipPath>'
        + R.format('clip-path="url(#c)"'),
        '<path d="M50 20A30 30 0 0 0 50 80z"/>',
    ),
    "clip-shape-turned": (
        "CSS Masking 1, 5.1",
        '<g transform="rotate(30 50 50)">' + R.format('clip-path="inset(10 20)"') + "</g>",
        '<rect x="40" y="30" width="20" height="40" transform="rotate(30 50 50)"/>',
    ),
    "clip-shape-in-an-svg": (
        "CSS Masking 1, 5.1",
        '<svg x="10" y="10" width="60" height="60" viewBox="0 0 30 30"><rect x="5" width="25" height="30" style="clip-path:circle(10px at 12px 10px) view-box"/></svg>',
        '<clipPath id="c"><rect x="20" y="10" width="50" height="60"/></clipPath><circle cx="34" cy="30" r="20" clip-path="url(#c)"/>',
    ),
    "clip-of-a-clip-by-box": (
        "CSS Masking 1, 5.1",
        '<clipPath id="d" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath><clipPath id="c" clip-path="url(#d)"><circle cx="50" cy="50" r="40"/></clipPath><rect x="30" y="10" width="60" height="80" clip-path="url(#c)"/>',
    ),
    "clip-of-a-clip-moved": (
        "CSS Masking 1, 5.1",
        '<clipPath id="d"><rect width="50" height="100"/></clipPath><clipPath id="c" clip-path="url(#d)" transform="translate(20 0)"><circle cx="50" cy="50" r="40"/></clipPath><rect x="10" y="20" width="80" height="60" clip-path="url(#c)"/>',
    ),
    "clip-of-a-clip-both-by-box": (
        "CSS Masking 1, 5.1",
        '<clipPath id="d" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath><clipPath id="c" clipPathUnits="objectBoundingBox" clip-path="url(#d)"><circle cx=".5" cy=".5" r=".4"/></clipPath><rect x="10" y="20" width="80" height="60" clip-path="url(#c)"/>',
    ),
    "clip-by-box-of-a-turned-child": (
        "8.10",
        '<clipPath id="c" clipPathUnits="objectBoundingBox"><circle cx=".5" cy=".5" r=".4"/></clipPath><g clip-path="url(#c)"><g transform="rotate(20 50 50)"><circle cx="50" cy="50" r="20"/><rect x="20" y="50" width="20" height="5"/></g></g>',
    ),
    "clip-by-box-of-a-turned-use": (
        "8.10",
        '<clipPath id="c" clipPathUnits="objectBoundingBox"><circle cx=".5" cy=".5" r=".4"/></clipPath><defs><path id="p" d="M20 50L50 20 80 60z" transform="rotate(30 50 50) skewX(9)"/></defs><use href="#p" clip-path="url(#c)"/>',
    ),
    "mask-by-box-of-a-turned-child": (
        "8.10",
        '<mask id="m" maskContentUnits="objectBoundingBox"><circle cx=".5" cy=".5" r=".4" fill="#fff"/></mask><g mask="url(#m)"><path d="M20 50L50 20 80 60z" transform="rotate(30 50 50)"/></g>',
    ),
}
