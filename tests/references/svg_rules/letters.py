"""Letters down columns, and spread to a length: one small drawing for each rule."""

# One drawing a line reads better than any folding of it.
# ruff: noqa: E501

RULES = {
    "text-writing-vertical-lr": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" y="10" writing-mode="vertical-lr">Abc</text>',
    ),
    "text-writing-rl": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" y="10" writing-mode="rl">Abc</text>',
    ),
    "text-writing-bogus": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" y="10" writing-mode="bogus">Abc</text>',
    ),
    "text-column-central": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" y="5" dominant-baseline="central" writing-mode="vertical-rl">Abc</text>',
    ),
    "text-column-hanging": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" y="5" dominant-baseline="hanging" writing-mode="vertical-rl">Abc</text>',
    ),
    "text-column-end": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" text-anchor="end" y="90" writing-mode="vertical-rl">Abc</text>',
    ),
    "text-column-dx": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" y="5" dx="10 5" writing-mode="vertical-rl">Abc</text>',
    ),
    "text-column-ylist": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" y="5 40 70" writing-mode="vertical-rl">Abc</text>',
    ),
    "text-column-tspan": (
        "CSS Writing Modes 4, 5",
        '<text font-family="Noto Sans" font-size="30" x="50" y="5" writing-mode="tb">A<tspan font-size="15">bc</tspan></text>',
    ),
    "text-length-glyphs-mid": (
        "11.4",
        '<text font-family="Noto Sans" font-size="30"  y="50" textLength="80" x="50" text-anchor="middle" lengthAdjust="spacingAndGlyphs">Abc</text>',
    ),
    "text-length-xlist": (
        "11.4",
        '<text font-family="Noto Sans" font-size="30" x="5 40 70" y="40" textLength="90">Abcd</text>',
    ),
    "text-length-stroke-glyphs": (
        "11.4",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" textLength="90" lengthAdjust="spacingAndGlyphs" fill="none" stroke="#000" stroke-width="2">Abc</text>',
    ),
    "text-length-one-glyphs": (
        "11.4",
        '<text font-family="Noto Sans" font-size="30" x="5" y="50" textLength="90" lengthAdjust="spacingAndGlyphs">A</text>',
    ),
    "text-dx-on-a-mark": ("11.6", '<text font-family="Noto Sans" font-size="24" x="5" y="50" dx="0 9">éa</text>'),
    "text-rotate-inner-zero": (
        "11.6",
        '<text font-family="Noto Sans" font-size="26" x="10" y="50" rotate="30">a<tspan rotate="0 60">bc</tspan>de</text>',
    ),
    "text-move-inner-zero": (
        "11.6",
        '<text font-family="Noto Sans" font-size="26" x="10" y="40" dx="0 20 20" dy="0 12 12">A<tspan dx="0" dy="0">b</tspan>c</text>',
    ),
    "text-place-inner-zero": (
        "11.6",
        '<text font-family="Noto Sans" font-size="26" x="10 40 70" y="40 60 80">A<tspan x="0">b</tspan>c</text>',
    ),
    "span-overrides-direction": (
        "CSS Writing Modes 4, 2.4.3",
        '<text font-family="Noto Sans" font-size="16" x="5" y="50">ab <tspan unicode-bidi="bidi-override" direction="rtl">mn 12</tspan> ef</text>',
        '<text font-family="Noto Sans" font-size="16" x="5" y="50">ab 21 nm ef</text>',
    ),
    "span-isolated-in-override": (
        "CSS Writing Modes 4, 2.4.3",
        '<text font-family="Noto Sans" font-size="16" x="5" y="50">a <tspan style="unicode-bidi:bidi-override;direction:rtl">mn <tspan style="unicode-bidi:isolate;direction:ltr">de</tspan> u</tspan> g</text>',
        '<text font-family="Noto Sans" font-size="16" x="5" y="50">a u de nm g</text>',
    ),
    "span-embedded-in-text-read-leftward": (
        "CSS Writing Modes 4, 2.4.3",
        '<text font-family="Noto Sans" font-size="16" x="5" y="50" direction="rtl" text-anchor="end">mn <tspan unicode-bidi="embed" direction="rtl">de</tspan> u</text>',
        '<text font-family="Noto Sans" font-size="16" x="5" y="50">u de mn</text>',
    ),
}
