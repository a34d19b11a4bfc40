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
}
