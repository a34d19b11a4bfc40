"""Paths, basic shapes and transforms: one small drawing for each rule."""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

R = '<rect x="20" y="20" width="60" height="60" {}/>'

RULES = {
    "points-up-to-the-error": ("10.6", '<polygon points="10,10 50,10 50,50 foo 10,50"/>'),
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
    "rect-rxneg": ("10.2", '<rect x="10" y="10" width="50" height="50" rx="-5" ry="10"/><path d="M60 60h30v30z"/>'),
    "rect-rx0": ("10.2", '<rect x="10" y="10" width="50" height="50" rx="0" ry="10"/><path d="M60 60h30v30z"/>'),
    "rect-auto": ("10.2", '<rect width="50" height="50" rx="auto" ry="10"/><path d="M60 60h30v30z"/>'),
    "rect-ex": ("CSS Values 4, 6.1", '<rect width="4ex" height="4ex"/><path d="M60 60h30v30z"/>'),
    "rect-pc": ("CSS Values 4, 6.2", '<rect width="5pc" height="2pc"/><path d="M60 60h30v30z"/>'),
    "ellipse-rx": ("10.4", '<ellipse cx="50" cy="50" rx="20"/><path d="M60 60h30v30z"/>'),
    "points-ws": ("10.6", '<polygon points=" 10 , 10\n50,10	50,50 "/>'),
    "points-neg": ("10.6", '<polygon points="10-10 50-10 50,50"/>'),
    "line-zero": (
        "13.5.4",
        '<line x1="50" y1="50" x2="50" y2="50" stroke="#000" stroke-width="20" stroke-linecap="round"/>',
    ),
    "path-mm": ("9.3.3", '<path d="M10 10 M20 20 L50 20 L50 50z"/>'),
    "path-z-l": ("9.3.4", '<path d="M10 10h30v30z l-5 50 h20z"/>'),
    "path-dot": ("9.3.1", '<path d="M10.5.5.5 60.5l30-.5.5-10"/>'),
    "path-arc0": ("9.5.1", '<path d="M10 10 A 0 0 0 0 1 50 50 L10 50z"/>'),
    "transform-origin-px": (
        "CSS Transforms 1, 4",
        '<rect x="20" y="20" width="60" height="60" transform="rotate(30)" transform-origin="20px 30px"/>',
    ),
    "transform-origin-bottom": (
        "CSS Transforms 1, 4",
        '<rect x="20" y="20" width="60" height="60" transform="rotate(10)" transform-origin="bottom"/>',
    ),
    "transform-origin-1len": (
        "CSS Transforms 1, 4",
        '<rect x="20" y="20" width="60" height="60" transform="rotate(10)" transform-origin="20"/>',
    ),
    "transform-origin-percent": (
        "CSS Transforms 1, 4",
        '<rect x="20" y="20" width="60" height="60" transform="rotate(10)" transform-origin="20% 80%"/>',
    ),
    "transform-origin-clip": (
        "CSS Transforms 1, 4",
        '<clipPath id="c" transform="rotate(10)" transform-origin="50 50"><rect x="20" y="20" width="60" height="60"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    ),
    "transform-origin-grad": (
        "CSS Transforms 1, 4",
        '<linearGradient id="g" gradientTransform="rotate(30)" transform-origin=".5 .5"><stop/><stop offset="1" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "transform-origin-pattern": (
        "CSS Transforms 1, 4",
        '<pattern id="p" patternTransform="rotate(30)" transform-origin="50 50" width="10" height="10" patternUnits="userSpaceOnUse"><rect width="5" height="5"/></pattern><rect x="20" y="20" width="60" height="60" fill="url(#p)"/>',
    ),
    "transform-origin-use": (
        "CSS Transforms 1, 4",
        '<defs><rect id="r" width="50" height="50"/></defs><use href="#r" x="20" y="20" transform="rotate(20)" transform-origin="45 45"/>',
    ),
    "transform-origin-fillbox": (
        "CSS Transforms 1, 5",
        '<rect x="20" y="20" width="60" height="60" transform="rotate(30)" style="transform-box:fill-box;transform-origin:center"/>',
    ),
    "transform-rotate-units-attr": (
        "CSS Transforms 1, 8",
        '<rect x="20" y="20" width="60" height="60" transform="rotate(10deg)"/>',
    ),
    "transform-no-commas": (
        "CSS Transforms 1, 8",
        '<rect x="20" y="20" width="60" height="60" transform="translate(10-5)rotate(10)"/>',
    ),
    "transform-css-none": (
        "CSS Transforms 1, 8",
        '<rect x="20" y="20" width="60" height="60" style="transform:none" transform="scale(.2)"/>',
    ),
    "transform-few": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="matrix(1 0 0 1 5)"/>',
    ),
    "transform-half2": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="translate(20) rotate("/>',
    ),
    "transform-comma": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="translate(5,,5)"/>',
    ),
    "transform-comma2": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="translate(5) , rotate(10)"/>',
    ),
    "transform-comma3": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="translate(5),,rotate(10)"/>',
    ),
    "transform-lead": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform=", translate(20)"/>',
    ),
    "transform-trail": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="translate(20),"/>',
    ),
    "transform-caps": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="Translate(20)"/>',
    ),
    "transform-translateX": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="translateX(20)"/>',
    ),
    "transform-skewxy": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="skew(10 10)"/>',
    ),
    "transform-skew90": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="skewX(90)"/>',
    ),
    "transform-g-skew90": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><g transform="skewX(90)"><rect x="20" y="20" width="60" height="60" /></g>',
    ),
    "transform-css-caps": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" style="transform:Translate(20)"/>',
    ),
    "transform-css-space-fn": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" style="transform:translate (20)"/>',
    ),
    "transform-clipchild-caps": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><clipPath id="c"><rect width="60" height="60" transform="Translate(20)"/></clipPath><rect width="100" height="90" y="10" clip-path="url(#c)"/>',
    ),
    "transform-grad-skewxy": (
        "CSS Transforms 1, 8",
        '<linearGradient id="g" gradientTransform="skew(10 10)"><stop/><stop offset="1" stop-color="#fff"/></linearGradient><rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "transform-pat-caps": (
        "CSS Transforms 1, 8",
        '<pattern id="g" patternUnits="userSpaceOnUse" width="15" height="15" patternTransform="Translate(20)"><rect width="8" height="8"/></pattern><rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" fill="url(#g)"/>',
    ),
    "transform-nospace": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="translate(20)rotate(10)"/>',
    ),
    "transform-plus": (
        "CSS Transforms 1, 8",
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" transform="translate(+20-5)"/>',
    ),
}
