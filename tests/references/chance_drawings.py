"""Drawings made up by chance from what SVG has, every reference leading somewhere, for renderers to be compared on."""

from __future__ import annotations

import base64
from random import Random

SIDE = 100
"""px; every drawing is a square of this side."""

DARK = ("#000", "#123", "rgb(40,10,60)", "hsl(20 80% 15%)", "navy", "maroon")
LIGHT = ("#fff", "#eef", "rgb(95%,95%,90%)", "hsl(90 60% 92%)", "ivory", "lightyellow")
TYPE = 'font-family="Noto Sans"'
NUMBERS = {"L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 2, "Z": 0, "M": 2}
"""Places that each letter of a path is followed by; those of an arc come after its own five numbers."""

WORDS = ("Oak", "Elm seed", "AVA fi", "Moss & co", "1897", "gyp\u00e9")


class Made:
    """One drawing in the making: what it defines, and what it draws."""

    def __init__(self, chance: Random) -> None:
        self.chance = chance
        self.defined: list[str] = []
        self.count = 0

    def drawing(self) -> str:
        """Return a whole drawing."""
        chance = self.chance
        body = "".join(self.element(3) for _ in range(chance.randint(2, 5)))
        sheet = "" if chance.random() < 0.6 else self.sheet()
        root = chance.choice(("", "", "", ' viewBox="0 0 100 100"', ' viewBox="-10 0 120 90"', ' viewBox="0 0 60 100"'))
        if root and chance.random() < 0.5:
            root += f' preserveAspectRatio="{chance.choice(("none", "xMinYMax slice", "xMaxYMid meet"))}"'
        return (
            '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
            f'width="{SIDE}" height="{SIDE}"{root}>{sheet}<defs>{"".join(self.defined)}</defs>{body}</svg>'
        )

    def sheet(self) -> str:
        chance = self.chance
        rules = (
            ".a{fill:#fff;stroke:#000;stroke-width:3px}",
            "g > rect:first-child{fill:#000}",
            "path:not(.a){stroke:#000}",
            "[class~='b'] circle{fill:none!important;stroke:#000}",
            ".b rect + rect{opacity:.9}",
            "rect.a{stroke-dasharray:4px,2px}",
        )
        return f"<style>{''.join(chance.sample(rules, chance.randint(1, 3)))}</style>"

    def number(self, low: float, high: float) -> str:
        return f"{self.chance.uniform(low, high):.{self.chance.choice((0, 1, 2))}f}"

    def define(self, make: str) -> str:
        """Define ``make``, whose id is ``{}``; returns the id."""
        self.count += 1
        name = f"d{self.count}"
        self.defined.append(make.replace("{}", name, 1))
        return name

    def element(self, depth: int) -> str:
        chance = self.chance
        kinds = [self.shape] * 6 + [self.text]
        if depth:
            kinds += [self.group] * 3 + [self.used, self.nested, self.image]
        return chance.choice(kinds)(depth)

    def shape(self, depth: int) -> str:
        chance, n = self.chance, self.number
        kind = chance.choice(("rect", "circle", "ellipse", "line", "polyline", "polygon", "path", "path", "path"))
        about = self.presented(depth)
        match kind:
            case "rect":
                own = f'x="{n(0, 60)}" y="{n(0, 60)}" width="{n(5, 60)}" height="{n(5, 60)}"'
                if chance.random() < 0.4:
                    own += f' rx="{n(0, 30)}"' + (f' ry="{n(0, 30)}"' if chance.random() < 0.5 else "")
            case "circle":
                own = f'cx="{n(10, 90)}" cy="{n(10, 90)}" r="{chance.choice((n(3, 40), n(3, 40), n(5, 30) + "%"))}"'
            case "ellipse":
                own = f'cx="{n(10, 90)}" cy="{n(10, 90)}" rx="{n(3, 40)}" ry="{n(3, 40)}"'
            case "line":
                own = f'x1="{n(0, 99)}" y1="{n(0, 99)}" x2="{n(0, 99)}" y2="{n(0, 99)}" stroke="#000"'
                about = about.replace(" stroke=", " data-stroke=")
            case "path":
                own = f'd="{self.path()}"'
            case _:
                points = " ".join(f"{n(0, 99)},{n(0, 99)}" for _ in range(chance.randint(2, 6)))
                own = f'points="{points}"'
        if kind in {"line", "polyline", "polygon", "path"} and chance.random() < 0.2:
            place = chance.choice(("start", "mid", "end"))
            about += f' marker-{place}="url(#{self.marker()})"'
        return f"<{kind} {own}{about}/>"

    def path(self) -> str:
        chance, n = self.chance, self.number
        data = f"M{n(5, 90)} {n(5, 90)}"
        for _ in range(chance.randint(1, 6)):
            letter = chance.choice("LlHhVvCcSsQqTtAaZM")
            before = ""
            if letter in "Aa":
                flags = f"{chance.choice('01')} {chance.choice('01')}"
                before = f"{n(0, 50)} {n(0, 50)} {n(-90, 90)} {flags} "
            low, high = (0, 99) if letter.isupper() else (-40, 40)
            # Either letter closes a path alike.
            data += (
                ("z" if letter == "Z" else letter)
                + before
                + " ".join(f"{n(low, high)}" for _ in range(NUMBERS[letter.upper()]))
            )
        return data

    def presented(self, depth: int) -> str:
        """Return attributes and style of an element."""
        chance, n = self.chance, self.number
        given: dict[str, str] = {}
        if chance.random() < 0.75:
            given["fill"] = self.paint(depth)
        if chance.random() < 0.5:
            given["stroke"] = self.paint(depth)
            given["stroke-width"] = chance.choice((n(1, 12), n(1, 12), n(1, 6) + "%", n(1, 4) + "mm", ".3em"))
            for name, values in (
                ("stroke-linecap", ("round", "square")),
                ("stroke-linejoin", ("round", "bevel", "miter")),
                ("stroke-miterlimit", ("1", "2", "10")),
                ("stroke-dasharray", ("8 3", "5,4,3", "10%", "0 9", "none", "12 4 -1")),
                ("stroke-dashoffset", ("4", "-7", "5%")),
                ("paint-order", ("stroke", "markers stroke", "normal")),
            ):
                if chance.random() < 0.3:
                    given[name] = chance.choice(values)
        for name, values, share in (
            ("fill-rule", ("evenodd", "nonzero"), 0.2),
            ("opacity", ("1", ".95", ".9"), 0.08),
            ("fill-opacity", (".9", "95%"), 0.05),
            ("visibility", ("hidden", "visible"), 0.04),
            ("display", ("none", "inline"), 0.03),
        ):
            if chance.random() < share:
                given[name] = chance.choice(values)
        if depth and chance.random() < 0.12:
            given["clip-path"] = f"url(#{self.clip(depth)})"
        if depth and chance.random() < 0.08:
            given["mask"] = f"url(#{self.mask(depth)})"
        written = "".join(f' {name}="{value}"' for name, value in given.items())
        if given and chance.random() < 0.2:
            written = f' style="{";".join(f"{name}:{value}" for name, value in given.items())}"'
        if chance.random() < 0.35:
            written += f' transform="{self.transform()}"'
        if chance.random() < 0.15:
            written += f' class="{chance.choice(("a", "b", "a b"))}"'
        return written

    def transform(self) -> str:
        n = self.number
        calls = (
            lambda: f"translate({n(-20, 20)} {n(-20, 20)})",
            lambda: f"rotate({n(-90, 90)})",
            lambda: f"rotate({n(-180, 180)},50,50)",
            lambda: f"scale({n(0.4, 1.5)})",
            lambda: f"scale({n(-1.2, 1.2)},{n(0.5, 1.2)})",
            lambda: f"skewX({n(-30, 30)})",
            lambda: f"skewY({n(-30, 30)})",
            lambda: f"matrix({n(0.5, 1.2)} {n(-0.4, 0.4)} {n(-0.4, 0.4)} {n(0.5, 1.2)} {n(-10, 10)} {n(-10, 10)})",
        )
        return " ".join(self.chance.choice(calls)() for _ in range(self.chance.choice((1, 1, 2, 3))))

    def paint(self, depth: int) -> str:
        chance = self.chance
        sort = chance.random()
        if sort < 0.45 or (sort >= 0.75 and not depth):
            return chance.choice(DARK)
        if sort < 0.65:
            return chance.choice(LIGHT)
        if sort < 0.75:
            return "none"
        return f"url(#{chance.choice((self.gradient, self.gradient, self.pattern))(depth)})"

    def gradient(self, depth: int) -> str:
        chance = self.chance
        offsets = sorted(chance.uniform(0, 1) for _ in range(chance.randint(1, 4)))
        stops, tint = "", chance.random() < 0.5
        for offset in offsets:
            # Hard changes, so that nothing hangs on where exactly a blend is half dark.
            colours = (DARK, LIGHT) if tint else (LIGHT, DARK)
            stops += "".join(f'<stop offset="{offset:.2f}" stop-color="{chance.choice(side)}"/>' for side in colours)
            tint = not tint
        kind = chance.choice(("linearGradient", "radialGradient"))
        own = f' gradientTransform="{self.transform()}"' if chance.random() < 0.3 else ""
        own += f' spreadMethod="{chance.choice(("pad", "reflect", "repeat"))}"' if chance.random() < 0.5 else ""
        user = chance.random() < 0.4
        own += ' gradientUnits="userSpaceOnUse"' if user else ""
        scale = 100 if user else 1
        if kind == "linearGradient":
            places = {name: chance.uniform(0, scale) for name in ("x1", "y1", "x2", "y2") if chance.random() < 0.6}
        else:
            names = ("cx", "cy", "r", "fx")
            places = {name: chance.uniform(0.3, 0.7) * scale for name in names if chance.random() < 0.5}
        own += "".join(f' {name}="{value:.2f}"' for name, value in places.items())
        if chance.random() < 0.3:
            sort = chance.choice(("linearGradient", "radialGradient"))
            other = self.define(f'<{sort} id="{{}}">{stops}</{sort}>')
            own += f' {chance.choice(("href", "xlink:href"))}="#{other}"'
            stops = ""
        return self.define(f'<{kind} id="{{}}"{own}>{stops}</{kind}>')

    def pattern(self, depth: int) -> str:
        chance, n = self.chance, self.number
        inside = "".join(self.shape(0 if depth < 2 else 1) for _ in range(chance.randint(1, 2)))
        own = ""
        if chance.random() < 0.6:
            own += f' patternUnits="userSpaceOnUse" x="{n(-5, 5)}" y="{n(-5, 5)}"'
            own += f' width="{n(15, 40)}" height="{n(15, 40)}"'
        else:
            own += f' width="{chance.uniform(0.2, 0.6):.2f}" height="{chance.uniform(0.2, 0.6):.2f}"'
        if chance.random() < 0.5:
            own += ' viewBox="0 0 100 100"'
        if chance.random() < 0.4:
            own += f' patternTransform="{self.transform()}"'
        return self.define(f'<pattern id="{{}}"{own}>{inside}</pattern>')

    def clip(self, depth: int) -> str:
        chance = self.chance
        by_box = chance.random() < 0.3
        own = ' clipPathUnits="objectBoundingBox"' if by_box else ""
        if chance.random() < 0.2 and depth > 1:
            own += f' clip-path="url(#{self.clip(depth - 1)})"'
        inside = "".join(self.shape(0) for _ in range(chance.randint(1, 2)))
        if by_box:
            inside = '<rect x=".1" y=".2" width=".6" height=".7"/><circle cx=".6" cy=".4" r=".4"/>'
        if chance.random() < 0.2 and not by_box:
            inside += f'<text {TYPE} font-size="40" font-weight="bold" x="5" y="60">Oak</text>'
        return self.define(f'<clipPath id="{{}}"{own}>{inside}</clipPath>')

    def mask(self, depth: int) -> str:
        chance = self.chance
        room = ' maskUnits="userSpaceOnUse" x="5" y="5" width="80" height="70"'
        own = chance.choice(("", "", ' mask-type="alpha"', room))
        if chance.random() < 0.2:
            inside = '<rect width=".7" height=".8" fill="#fff"/><circle cx=".7" cy=".6" r=".3" fill="#fff"/>'
            own += ' maskContentUnits="objectBoundingBox"'
        else:
            inside = '<rect width="100" height="60" fill="#fff"/>' + "".join(self.shape(0) for _ in range(2))
        return self.define(f'<mask id="{{}}"{own}>{inside}</mask>')

    def marker(self) -> str:
        chance, n = self.chance, self.number
        own = f' markerWidth="{n(2, 8)}" markerHeight="{n(2, 8)}" refX="{n(0, 6)}" refY="{n(0, 6)}"'
        own += chance.choice(("", ' orient="auto"', ' orient="auto-start-reverse"', ' orient="45"'))
        own += chance.choice(("", ' viewBox="0 0 10 10"', ' overflow="visible"', ' markerUnits="userSpaceOnUse"'))
        inside = chance.choice(
            (
                '<path d="M0 0L10 5 0 10z"/>',
                '<circle cx="5" cy="5" r="4"/>',
                '<rect width="6" height="6" fill="context-stroke"/>',
                '<path d="M0 0L8 5 0 10" fill="none" stroke="#000" stroke-width="2"/>',
            )
        )
        return self.define(f'<marker id="{{}}"{own}>{inside}</marker>')

    def group(self, depth: int) -> str:
        inside = "".join(self.element(depth - 1) for _ in range(self.chance.randint(1, 3)))
        if self.chance.random() < 0.1:
            inside = f"<switch>{self.shape(0)}{inside}</switch>"
        return f"<g{self.presented(depth - 1)}>{inside}</g>"

    def used(self, depth: int) -> str:
        chance, n = self.chance, self.number
        about = self.presented(depth - 1)
        place = f' x="{n(-10, 40)}" y="{n(-10, 40)}"'
        inside = self.element(depth - 1)
        if chance.random() < 0.5:
            name = self.define(f'<g id="{{}}">{inside}</g>')
            return f'<use href="#{name}"{place}{about}/>'
        cut = ' viewBox="10 10 50 80" preserveAspectRatio="xMidYMin slice"'
        own = chance.choice(("", ' viewBox="0 0 100 100"', cut))
        own += chance.choice(("", "", ' overflow="visible"'))
        name = self.define(f'<symbol id="{{}}"{own}>{inside}</symbol>')
        size = f' width="{n(20, 90)}" height="{n(20, 90)}"' if chance.random() < 0.7 else ""
        return f'<use xlink:href="#{name}"{place}{size}{about}/>'

    def nested(self, depth: int) -> str:
        chance, n = self.chance, self.number
        own = f' x="{n(0, 40)}" y="{n(0, 40)}" width="{chance.choice((n(20, 80), "60%"))}" height="{n(20, 80)}"'
        own += chance.choice(("", ' viewBox="0 0 100 100"', ' viewBox="0 0 50 100" preserveAspectRatio="none"'))
        own += chance.choice(("", "", ' overflow="visible"'))
        return f"<svg{own}>{''.join(self.element(depth - 1) for _ in range(chance.randint(1, 2)))}</svg>"

    def image(self, depth: int) -> str:
        chance, n = self.chance, self.number
        inside = Made(chance)
        shapes = "".join(inside.shape(0) for _ in range(2))
        size = chance.choice(('width="100" height="100"', 'viewBox="0 0 100 60"', 'width="80" height="40"'))
        whole = f'<svg xmlns="http://www.w3.org/2000/svg" {size}><defs>{"".join(inside.defined)}</defs>{shapes}</svg>'
        data = base64.b64encode(whole.encode()).decode()
        aspect = chance.choice(("", ' preserveAspectRatio="none"', ' preserveAspectRatio="xMinYMin slice"'))
        room = f'x="{n(0, 40)}" y="{n(0, 40)}" width="{n(20, 80)}" height="{n(20, 80)}"'
        return f'<image {room}{aspect} href="data:image/svg+xml;base64,{data}"/>'

    def text(self, depth: int) -> str:
        chance, n = self.chance, self.number
        about = self.presented(0).replace(" display=", " data-d=")
        own = f' x="{n(0, 60)}" y="{n(20, 90)}" font-size="{n(14, 40)}"'
        for name, values in (
            ("font-weight", ("bold", "400")),
            ("text-anchor", ("middle", "end")),
            ("letter-spacing", ("2", ".1em")),
            ("word-spacing", ("5",)),
            ("rotate", ("10", "0 20 -20")),
            ("dx", ("3 2", "0 5")),
            ("dy", ("2 -4",)),
        ):
            if chance.random() < 0.2:
                own += f' {name}="{chance.choice(values)}"'
        word = chance.choice(WORDS).replace("&", "&amp;")
        if chance.random() < 0.3:
            at = chance.randint(1, len(word) - 1)
            if "&amp;" not in word:
                moved = chance.choice(("", ' dy="5"', ' font-weight="bold"'))
                word = f"{word[:at]}<tspan{moved}>{word[at:]}</tspan>"
        return f"<text {TYPE}{own}{about}>{word}</text>"


def chance_drawing(seed: int) -> str:
    """Return the drawing of a seed, the same on every machine."""
    return Made(Random(seed)).drawing()
