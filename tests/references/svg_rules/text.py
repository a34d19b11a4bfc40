"""Text: one small drawing for each rule."""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

RULES = {
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
    "text-anchor-inherit": (
        "11.10.2",
        '<g text-anchor="middle"><text font-family="Noto Sans" font-size="30" x="50" y="50">Ab</text></g>',
    ),
    "text-anchor-on-tspan": (
        "11.10.2",
        '<text font-family="Noto Sans" font-size="30" x="50" y="50">A<tspan text-anchor="end" x="60" y="80">bc</tspan></text>',
    ),
    "text-anchor-on-tspan-nochunk": (
        "11.10.2",
        '<text font-family="Noto Sans" font-size="30" x="50" y="50">A<tspan text-anchor="end">bc</tspan></text>',
    ),
    "text-anchor-end-ls": (
        "CSS Text 3, 8.2",
        '<text font-family="Noto Sans" font-size="30" x="90" y="50" text-anchor="end" letter-spacing="5">Abc</text>',
    ),
    "text-raised-sub": (
        "11.10.4",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan baseline-shift="sub">b</tspan>c</text>',
    ),
    "text-raised-super": (
        "11.10.4",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan baseline-shift="super">b</tspan>c</text>',
    ),
    "text-raised-percent": (
        "11.10.4",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan baseline-shift="50%">b</tspan>c</text>',
    ),
    "text-raised-nested": (
        "11.10.4",
        '<text font-family="Noto Sans" font-size="30" x="5" y="70">A<tspan baseline-shift="super">b<tspan baseline-shift="super">c</tspan></tspan></text>',
    ),
    "text-raised-mixed": (
        "11.10.4",
        '<text font-family="Noto Sans" font-size="30" x="5" y="70">A<tspan baseline-shift="super">b<tspan baseline-shift="sub">c<tspan baseline-shift="baseline">d</tspan></tspan></tspan></text>',
    ),
    "text-baseline-hanging": (
        "11.10.3",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" dominant-baseline="hanging">Agx</text>',
    ),
    "text-baseline-central": (
        "11.10.3",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" dominant-baseline="central">Agx</text>',
    ),
    "text-baseline-middle": (
        "11.10.3",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" dominant-baseline="middle">Agx</text>',
    ),
    "text-baseline-mathematical": (
        "11.10.3",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" dominant-baseline="mathematical">Agx</text>',
    ),
    "text-baseline-ideographic": (
        "11.10.3",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" dominant-baseline="ideographic">Agx</text>',
    ),
    "text-baseline-text-before-edge": (
        "11.10.3",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" dominant-baseline="text-before-edge">Agx</text>',
    ),
    "text-aligned-middle": (
        "11.10.3",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan alignment-baseline="middle">gx</tspan></text>',
    ),
    "text-aligned-hanging": (
        "11.10.3",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan alignment-baseline="hanging">gx</tspan></text>',
    ),
    "text-baseline-on-tspan": (
        "11.10.3",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan dominant-baseline="hanging">gx</tspan></text>',
    ),
    "text-size-larger": (
        "CSS Fonts 4, 2.5",
        '<g font-size="30"><text font-family="Noto Sans" x="5" y="50" font-size="larger">Ab</text></g>',
    ),
    "text-size-nested-percent": (
        "CSS Fonts 4, 2.5",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan font-size="50%">b<tspan font-size="200%">c</tspan></tspan></text>',
    ),
    "text-spacing-em": (
        "CSS Text 3, 8.2",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" letter-spacing=".2em">Abc</text>',
    ),
    "text-spacing-tspan": (
        "CSS Text 3, 8.2",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan letter-spacing="5">bc</tspan>d</text>',
    ),
    "text-spacing-normal": (
        "CSS Text 3, 8.2",
        '<g letter-spacing="9"><text font-family="Noto Sans" font-size="30" x="5" y="50" letter-spacing="normal">Abc</text></g>',
    ),
    "text-words-neg": (
        "CSS Text 3, 8.1",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" word-spacing="-5">A b c</text>',
    ),
    "text-lines-all": (
        "CSS Text Decoration 3, 2",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" text-decoration="underline overline line-through">Agb</text>',
    ),
    "text-lines-tspan": (
        "CSS Text Decoration 3, 2",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" text-decoration="underline">A<tspan fill="#fff" stroke="#000">gb</tspan></text>',
    ),
    "text-lines-g": (
        "CSS Text Decoration 3, 2",
        '<g text-decoration="underline"><text font-family="Noto Sans" font-size="30" x="5" y="50">Agb</text></g>',
    ),
    "text-lines-rotate": (
        "CSS Text Decoration 3, 2",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" text-decoration="underline" rotate="20">Agb</text>',
    ),
    "text-lines-bold": (
        "CSS Text Decoration 3, 2",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" font-weight="bold" text-decoration="underline line-through overline">Agb</text>',
    ),
    "text-length-short": (
        "11.4",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" textLength="30">Abc</text>',
    ),
    "text-length-ls": (
        "11.4",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" textLength="85" letter-spacing="3">Abc</text>',
    ),
    "text-x-list": ("11.6", '<text font-family="Noto Sans" font-size="30" x="5 30 60" y="50 60">Abcd</text>'),
    "text-dx-list": ("11.6", '<text font-family="Noto Sans" font-size="30" x="5" y="50" dx="0 5 10">Abcd</text>'),
    "text-x-in-tspan": (
        "11.6",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan x="40 60">bc</tspan>d</text>',
    ),
    "text-rotate-list-tspan": (
        "11.6",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" rotate="10 20 30">A<tspan rotate="-10">bc</tspan>d</text>',
    ),
    "text-rotate-inner-short": (
        "11.6",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan rotate="30">b<tspan>c</tspan></tspan>d</text>',
    ),
    "text-xy-nested": (
        "11.6",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan x="30" y="80">b<tspan dx="10">c</tspan></tspan>d</text>',
    ),
    "text-space-tab": (
        "11.7",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" xml:space="preserve">A	b</text>',
    ),
    "text-space-tspan": (
        "11.7",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A <tspan> b</tspan></text>',
    ),
    "text-nbsp": ("11.7", '<text font-family="Noto Sans" font-size="30" x="5" y="50">A  b</text>'),
    "text-span-clip": (
        "11.2",
        '<clipPath id="c"><rect width="30" height="90"/></clipPath><text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan clip-path="url(#c)">b</tspan>c</text>',
    ),
    "text-span-vis": (
        "11.2",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan visibility="hidden">b</tspan>c</text>',
    ),
    "text-in-text": (
        "11.2",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<text x="40" y="50">b</text>c</text>',
    ),
    "text-tref": (
        "SVG 1.1, 10.6",
        '<defs><text id="r">xy</text></defs><text font-family="Noto Sans" font-size="30" x="5" y="50">A<tref href="#r"/>c</text>',
    ),
    "text-stroke-dash": (
        "13.5.6",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" fill="none" stroke="#000" stroke-width="2" stroke-dasharray="4 2">Abw</text>',
    ),
    "text-paint-order": (
        "13.8",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" paint-order="stroke" fill="#fff" stroke="#000" stroke-width="6">Abw</text>',
    ),
    "text-column-tb": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" y="5" writing-mode="tb">Abc</text>',
    ),
    "text-column-middle": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" y="50" writing-mode="tb" text-anchor="middle">Abc</text>',
    ),
    "text-column-tb-dx": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" y="5" dx="5" writing-mode="tb">Abc</text>',
    ),
    "text-kerning-attr0": (
        "SVG 1.1, 10.11",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" kerning="0">AVAT</text>',
    ),
    "text-mixed-kern": (
        "11.2",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan fill="#333">V</tspan>A</text>',
    ),
    "text-mixed-size": (
        "11.2",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50">A<tspan font-size="15">b</tspan><tspan font-size="50">c</tspan></text>',
    ),
    "text-mixed-weight-anchor": (
        "11.10.2",
        '<text font-family="Noto Sans" font-size="30" x="50" y="50" text-anchor="middle">A<tspan font-weight="bold">b</tspan>c</text>',
    ),
    "text-combining": ("11.2", '<text font-family="Noto Sans" font-size="30" x="5" y="50">Aéc</text>'),
    "text-mirror": (
        "11.2",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" transform="scale(-1 1) translate(-100 0)">Abc</text>',
    ),
    "text-path-invalid-in-tspan": (
        "11.8.1",
        '<path id="p" d="M10 60Q50 10 90 60" fill="none"/><text font-family="Noto Sans" font-size="30" x="5" y="50"><tspan><textPath href="#p">Abc</textPath></tspan>z</text>',
    ),
    "text-length-of-a-span": (
        "11.4",
        '<text x="5" y="50" font-family="Noto Sans" font-size="16">A<tspan textLength="30">bc</tspan>d</text>',
    ),
    "text-length-of-a-short-span": (
        "11.4",
        '<text x="5" y="50" font-family="Noto Sans" font-size="16">A<tspan textLength="10">bce</tspan>d</text>',
    ),
    "text-spacing-handed-on": (
        "CSS Cascade 4, 4.4",
        '<g letter-spacing=".5em"><text font-family="Noto Sans" font-size="30" x="5" y="60">Oak</text></g>',
    ),
}
