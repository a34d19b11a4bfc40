"""Style sheets and the cascade: one small drawing for each rule."""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

R = '<rect x="20" y="20" width="60" height="60" {}/>'

RULES = {
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
    "selector-adj": (
        "CSS Selectors 4, 15.3",
        '<style>rect+circle{fill:#fff;stroke:#000}</style><rect x="20" y="20" width="60" height="60" /><circle cx="50" cy="50" r="20"/>',
    ),
    "selector-attr-word": (
        "CSS Selectors 4, 6.1",
        '<style>[data-k~=w]{fill:#fff;stroke:#000}</style><rect x="20" y="20" width="60" height="60" class="a b" id="x" data-k="v w" title="abc"/>',
    ),
    "selector-attr-dash": (
        "CSS Selectors 4, 6.1",
        '<style>[lang|=en]{fill:none;stroke:#000}</style><rect x="20" y="20" width="60" height="60" lang="en-US"/>',
    ),
    "selector-ids": (
        "CSS Selectors 4, 6.6",
        '<style>#x.a{fill:none;stroke:#000}</style><rect x="20" y="20" width="60" height="60" class="a b" id="x" data-k="v w" title="abc"/>',
    ),
    "selector-unknown-pseudo": (
        "CSS Selectors 4, 3.9",
        '<style>rect:zz{fill:none}rect{stroke:#000}</style><rect x="20" y="20" width="60" height="60" class="a b" id="x" data-k="v w" title="abc"/>',
    ),
    "sheet-important": (
        "CSS Cascade 4, 8",
        '<style>rect{fill:none!important;stroke:#000}</style><rect x="20" y="20" width="60" height="60" style="fill:#000"/>',
    ),
    "sheet-attr-important": (
        "CSS Cascade 4, 8",
        '<rect x="20" y="20" width="60" height="60" style="fill:none !important;stroke:#000" fill="#000"/>',
    ),
    "sheet-import": (
        "6.2",
        '<style>@import url(foo.css);rect{fill:none;stroke:#000}</style><rect x="20" y="20" width="60" height="60" class="a b" id="x" data-k="v w" title="abc"/>',
    ),
    "sheet-two-sheets": (
        "6.2",
        '<style>rect{fill:none}</style><style>rect{stroke:#000}</style><rect x="20" y="20" width="60" height="60" />',
    ),
    "sheet-after": ("6.2", '<rect x="20" y="20" width="60" height="60" /><style>rect{fill:none;stroke:#000}</style>'),
    "sheet-type-too": (
        "6.2",
        '<style type="text/less">rect{fill:none}</style><rect x="20" y="20" width="60" height="60" />',
    ),
    "sheet-comment": (
        "CSS Syntax 3, 4",
        '<style>/* a */rect{/*b*/fill:none;/*c*/stroke:#000}</style><rect x="20" y="20" width="60" height="60" class="a b" id="x" data-k="v w" title="abc"/>',
    ),
    "sheet-order-spec": (
        "CSS Cascade 4, 6",
        '<style>.a{fill:#fff}rect.a{fill:none;stroke:#000}.b{fill:#000}</style><rect x="20" y="20" width="60" height="60" class="a b" id="x" data-k="v w" title="abc"/>',
    ),
    "sheet-marker-sh": (
        "13.7.4",
        '<style>path{marker:url(#m)}</style><marker id="m" markerWidth="8" markerHeight="8"><rect width="4" height="4"/></marker><path d="M20 20h30v30" fill="none" stroke="#000" stroke-width="4"/>',
    ),
    "sheet-url-quote": (
        "CSS Values 4, 4.5",
        '<linearGradient id="g"><stop/><stop offset="1" stop-color="#fff"/></linearGradient><rect x="20" y="20" width="60" height="60" style="fill:url(&quot;#g&quot;)"/>',
    ),
    "sheet-font-sh": ("CSS Fonts 4, 2.7", """<text x="5" y="60" style="font:30px 'Noto Sans'">Ab</text>"""),
    "colour-hsl-sat-over": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="hsl(0, 250%, 40%)"/></g>',
    ),
    "colour-hsl-light-over": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="hsl(0,100%,160%)"/></g>',
    ),
    "colour-hsl-light-neg": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="hsl(0,100%,-20%)"/></g>',
    ),
    "colour-hsl-sat-neg": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="hsl(120,-50%,40%)"/></g>',
    ),
    "colour-hsl-hue-over": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="hsl(600,100%,30%)"/></g>',
    ),
    "colour-hsl-hue-neg": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="hsl(-240,100%,30%)"/></g>',
    ),
    "colour-hsl-turn": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="hsl(.66turn,100%,40%)"/></g>',
    ),
    "colour-hsl-sat-over-edge2": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="hsl(100,300%,30%)"/></g>',
    ),
    "colour-hsl-comma-number": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="hsl(240,100,50)"/></g>',
    ),
    "colour-rgb-mixed": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="rgb(10%,20,30)"/></g>',
    ),
    "colour-rgb-over": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="rgb(300,-20,-10)"/></g>',
    ),
    "cols-empty": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" style="fill:"/></g>',
    ),
    "ub-unit-m": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><rect x="20" y="20" rx="5m" width="50" height="50"/><rect x="5m" y="80" width="10" height="10"/><path d="M20 95H90" stroke="#000" stroke-width="5m"/>',
    ),
    "ub-comma": (
        "CSS Color 4, 7",
        '<rect width="9" height="9"/><rect x="20" y="20" rx="5," width="50" height="50"/><rect x="5," y="80" width="10" height="10"/><path d="M20 95H90" stroke="#000" stroke-width="5,"/>',
    ),
    "colour-hex5": (
        "6.5",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="#12345"/></g>',
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" fill="#ccc"/>',
    ),
    "colour-bad": (
        "6.5",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="bogus"/></g>',
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" fill="#ccc"/>',
    ),
    "cols-bad": (
        "6.5",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" style="fill:bogus"/></g>',
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" fill="#ccc"/>',
    ),
    "colour-empty": (
        "6.5",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill=""/></g>',
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" fill="#ccc"/>',
    ),
    "colour-important": (
        "6.5",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="#333 !important"/></g>',
        '<rect width="9" height="9"/><rect x="20" y="20" width="60" height="60" fill="#ccc"/>',
    ),
    "colour-none-caps": (
        "13.2",
        '<rect width="9" height="9"/><g fill="#ccc" color="#333"><rect x="20" y="20" width="60" height="60" fill="NONE"/></g>',
        '<rect width="9" height="9"/>',
    ),
    "colour-lab": (
        "CSS Color 4, 9",
        '<rect x="20" y="20" width="60" height="60" fill="lab(54% 0 0)"/><rect  y="20" width="60" height="60" x="0" fill="lab(53% 0 0)"/>',
        '<rect y="20" width="60" height="60"/>',
    ),
    "unit-ch": (
        "CSS Values 4, 6.1",
        '<g font-family="Noto Sans" font-size="10"><rect x="20" y="20" width="5ch" height="30"/></g>',
        '<rect x="20" y="20" width="28.6" height="30"/>',
    ),
    "unit-rem": (
        "CSS Values 4, 6.1",
        '<g font-family="Noto Sans" font-size="10"><rect x="20" y="20" width="3rem" height="30"/></g>',
        '<rect x="20" y="20" width="48" height="30"/>',
    ),
    "unit-vw": (
        "CSS Values 4, 6.1",
        '<g font-family="Noto Sans" font-size="10"><rect x="20" y="20" width="40vw" height="30"/></g>',
        '<rect x="20" y="20" width="40" height="30"/>',
    ),
    "unit-vh": (
        "CSS Values 4, 6.1",
        '<g font-family="Noto Sans" font-size="10"><rect x="20" y="20" width="30VH" height="30"/></g>',
        '<rect x="20" y="20" width="30" height="30"/>',
    ),
    "unit-vmin": (
        "CSS Values 4, 6.1",
        '<g font-family="Noto Sans" font-size="10"><rect x="20" y="20" width="35vmin" height="30"/></g>',
        '<rect x="20" y="20" width="35" height="30"/>',
    ),
    "unit-vmax": (
        "CSS Values 4, 6.1",
        '<g font-family="Noto Sans" font-size="10"><rect x="20" y="20" width="45vmax" height="30"/></g>',
        '<rect x="20" y="20" width="45" height="30"/>',
    ),
    "unit-q": (
        "CSS Values 4, 6.1",
        '<g font-family="Noto Sans" font-size="10"><rect x="20" y="20" width="160q" height="30"/></g>',
        '<rect x="20" y="20" width="151.181" height="30"/>',
    ),
    "unit-vw-nested": (
        "CSS Values 4, 6.1.2",
        '<svg width="50" height="50" viewBox="0 0 20 20"><rect width="15vw" height="10vh"/></svg>',
        '<rect width="37.5" height="25"/>',
    ),
    "unit-rem-nested": (
        "CSS Values 4, 6.1.1",
        '<g font-size="3rem"><rect width="1em" height="2rem"/></g>',
        '<rect width="48" height="32"/>',
    ),
    "unit-space-before": (
        "CSS Values 4, 5",
        '<rect width="9" height="9"/><rect x="20" y="20" width="40 px" height="30"/>',
    ),
    "calculated-lengths": (
        "CSS Values 4, 10",
        '<rect style="x:calc(2px + 10%);y:min(10px,50%)" width="calc(2*(10px + 5px))" height="clamp(5px,90%,40px)"/>',
        '<rect x="12" y="10" width="30" height="40"/>',
    ),
    "calculated-wrongly": (
        "CSS Values 4, 10",
        '<rect width="9" height="9"/><rect x="20" width="calc(10px+5px)" height="9"/><rect y="20" width="calc(2px*3px)" height="9"/>'
        '<rect x="20" y="20" width="calc(10px / 0)" height="9"/><rect x="50" y="50" width="20" height="9" style="stroke:#000;stroke-width:calc(1px + )"/>',
        '<rect width="9" height="9"/><rect x="50" y="50" width="20" height="9" stroke="#000"/>',
    ),
    "single-transforms": (
        "CSS Transforms 2, 5",
        '<rect width="30" height="20" transform="skewX(20)" style="translate:30px 10%;rotate:30deg;scale:1.2 80%"/>',
        '<rect width="30" height="20" transform="translate(30 10) rotate(30) scale(1.2 .8) skewX(20)"/>',
    ),
    "single-transform-about": (
        "CSS Transforms 2, 7",
        '<rect x="30" y="40" width="30" height="20" style="rotate:.125turn;transform-origin:45px 50px"/>',
        '<rect x="30" y="40" width="30" height="20" transform="rotate(45 45 50)"/>',
    ),
    "single-transform-wrong": (
        "CSS Transforms 2, 5",
        '<rect x="30" y="40" width="30" height="20" style="rotate:none;scale:initial;translate:none"/>',
        '<rect x="30" y="40" width="30" height="20"/>',
    ),
    "media-lists": (
        "Media Queries 4, 2",
        "<style>@media only screen,tv{.a{fill:none}}@media not screen{.b{fill:none}}@media print{.b{fill:none}}@media (prefers-color-scheme:dark){.b{fill:none}}</style>"
        '<rect class="a" width="30" height="30"/><rect class="b" x="40" y="40" width="30" height="30"/>',
        '<rect x="40" y="40" width="30" height="30"/>',
    ),
    "media-not-print": (
        "Media Queries 4, 3.1",
        '<style>@media not print{.a{fill:none}}</style><rect class="a" width="30" height="30"/><rect x="40" y="40" width="30" height="30"/>',
        '<rect x="40" y="40" width="30" height="30"/>',
    ),
    "variable-of-own-properties": (
        "CSS Custom Properties 1, 3",
        "<style>:root{--o:.3;--shape:circle(20px at 25px 25px)}.o{opacity:var(--o)}.d{display:var(--d,none)}.c{clip-path:var(--shape)}.t{transform:translate(var(--x,30px),60px)}</style>"
        '<rect class="o" width="20" height="20"/><rect class="d" x="30" width="20" height="20"/><rect class="c" x="50" width="50" height="50"/><rect class="t" width="30" height="30"/>',
        '<circle cx="75" cy="25" r="20"/><rect x="30" y="60" width="30" height="30"/>',
    ),
    "variable-of-a-stop": (
        "CSS Custom Properties 1, 3",
        '<style>:root{--dark:#000}</style><linearGradient id="g"><stop style="stop-color:var(--dark)"/><stop offset=".5" style="stop-color:var(--dark)"/><stop offset=".5" style="stop-color:var(--light,#fff)"/></linearGradient><rect width="80" height="50" fill="url(#g)"/>',
        '<rect width="40" height="50"/>',
    ),
    "variable-of-lengths": (
        "CSS Custom Properties 1, 3",
        "<style>:root{--W:20px;--w:5px}rect{width:calc(var(--W) * 2);height:var(--W);stroke-width:var(--w)}</style>"
        '<rect x="10" y="10" stroke="#000"/><use href="#r"/>',
        '<rect x="7.5" y="7.5" width="45" height="25"/>',
    ),
    "variable-of-a-use": (
        "SVG 2, 5.6",
        '<defs><rect id="r" width="30" height="30" style="fill:var(--tint,#000)"/></defs><use href="#r" style="--tint:#fff"/><use href="#r" x="50" style="--tint:#222"/><use href="#r" y="50"/>',
        '<rect x="50" width="30" height="30"/><rect y="50" width="30" height="30"/>',
    ),
    "variable-that-is-none": (
        "CSS Custom Properties 1, 3.1",
        '<g fill="#fff"><rect width="30" height="30" fill="#000" style="fill:var(--none)"/></g><rect x="50" width="30" height="30" style="fill:var(--none)"/>',
        '<rect x="50" width="30" height="30"/>',
    ),
    "variable-of-variables": (
        "CSS Custom Properties 1, 2.3",
        "<style>:root{--a:var(--b);--b:var(--a);--c:var(--d, var(--e));--e:#fff}.x{fill:var(--a,#fff)}.y{fill:var(--c)}</style>"
        '<rect class="x" width="30" height="30"/><rect class="y" x="40" width="30" height="30"/><rect y="50" width="30" height="30"/>',
        '<rect y="50" width="30" height="30"/>',
    ),
    "value-reverted": (
        "CSS Cascade 5, 7.3",
        '<g fill="#fff"><rect width="30" height="30" fill="#000" style="fill:revert"/><rect x="40" width="30" height="30" fill="#000" style="fill:revert-layer"/></g>',
        '<rect x="40" width="30" height="30"/>',
    ),
    "colour-in-the-light": (
        "CSS Color 5, 5",
        '<rect width="30" height="30" style="fill:light-dark(#000, var(--dark, #fff))"/><rect x="40" width="30" height="30" style="fill:light-dark( #fff, #000)"/>',
        '<rect width="30" height="30"/>',
    ),
    "transforms-out-of-the-plane": (
        "CSS Transforms 2, 12",
        '<rect width="20" height="20" style="transform:translate3d(10px,20px,5px) rotateZ(45deg) scale3d(2,1,3) translateZ(9px)"/><rect width="9" height="9" style="transform:matrix3d(1,0,0,0,.5,1,0,0,0,0,1,0,70,60,0,1)"/>',
        '<rect width="20" height="20" transform="translate(10 20) rotate(45) scale(2 1)"/><rect width="9" height="9" transform="matrix(1 0 .5 1 70 60)"/>',
    ),
}
