"""Drawings made up by a grammar, files with bytes spoiled, and a judge of how a reader takes them."""

import gzip
import io
import random
import re
import resource
import sys
import warnings
from dataclasses import dataclass, field
from pathlib import Path
from time import process_time

from hypothesis import strategies as st
from PIL import Image, ImageDraw
from stampwright.artwork import read_artwork
from stampwright.artwork.svg import read_svg
from stampwright.errors import ArtworkError

LONGEST = 10.0
"""Processor's seconds that any file may take."""

MOST_MEMORY = 2 * 1024**3
"""Bytes that reading may take."""

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" {}>{}</svg>'

IDS = [f"i{number}" for number in range(6)]
NUMBERS = ["0", "-0", "1", "-1", ".5", "3", "10", "50", "97", "1e3", "1e-9", "1e9", "1e38", "1e300", "NaN", "", "x"]
LENGTHS = [*NUMBERS, "10%", "-5%", "2em", "1ex", "3mm", "1in", "5vw", "auto", "calc(1px)"]
PAINTS = ["none", "#000", "#fff", "red", "rgba(0,0,0,.5)", "currentColor", "inherit", "context-fill", "nonsense", ""]
TRANSFORMS = [
    "rotate(30)",
    "scale(0)",
    "scale(-1 1)",
    "scale(1e6)",
    "scale(1e-9)",
    "matrix(1 2 3 4 5 6)",
    "matrix(1 1 1 1 0 0)",
    "skewX(90)",
    "translate(1e30 0)",
    "rotate(1 2",
    "zoom(2)",
]
PATHS = [
    "M10 10h50v50z",
    "M0 0C90 0 0 90 90 90S0 0 50 20",
    "M5 5A20 10 30 1 1 60 60T9 9Q1 2 3 4z",
    "M1e300 0L0 0 9 9",
    "M0 0A1e300 1 0 0 1 5 5z",
    "M10 10l0 0 1e-30 0 50 60z",
    "L1 1",
    "M50 50z",
    "M1 1 2 2 M3 3",
    "M0,0L,5",
]
WORDS = {
    "stroke-linecap": ["butt", "round", "square", "odd"],
    "stroke-linejoin": ["miter", "round", "bevel", "miter-clip", "arcs"],
    "fill-rule": ["evenodd", "nonzero"],
    "clip-rule": ["evenodd"],
    "display": ["none", "inline"],
    "visibility": ["hidden", "visible"],
    "overflow": ["hidden", "visible"],
    "mix-blend-mode": ["multiply", "hue", "difference"],
    "isolation": ["isolate"],
    "paint-order": ["stroke", "markers stroke"],
    "text-anchor": ["middle", "end"],
    "writing-mode": ["tb", "vertical-rl"],
    "direction": ["rtl"],
    "dominant-baseline": ["hanging", "middle"],
    "baseline-shift": ["super", "sub", "50%", "1e9"],
    "text-decoration": ["underline line-through", "overline"],
    "font-family": ["Noto Sans", "serif", "no such font", ""],
    "font-weight": ["bold", "1e9", "lighter"],
    "gradientUnits": ["userSpaceOnUse"],
    "spreadMethod": ["repeat", "reflect"],
    "patternUnits": ["userSpaceOnUse"],
    "patternContentUnits": ["objectBoundingBox"],
    "clipPathUnits": ["objectBoundingBox"],
    "maskUnits": ["userSpaceOnUse"],
    "maskContentUnits": ["objectBoundingBox"],
    "markerUnits": ["userSpaceOnUse"],
    "orient": ["auto", "auto-start-reverse", "45", "1e300"],
    "preserveAspectRatio": ["none", "xMinYMax slice"],
    "lengthAdjust": ["spacingAndGlyphs"],
    "systemLanguage": ["en", "xx"],
    "xml:space": ["preserve"],
    "vector-effect": ["non-scaling-stroke"],
    "mask-type": ["alpha"],
    "transform-origin": ["center", "10% 1e9"],
    "transform-box": ["fill-box"],
    "in": ["SourceAlpha", "SourceGraphic", "a"],
    "in2": ["SourceGraphic", "a"],
    "result": ["a"],
    "operator": ["in", "arithmetic", "dilate"],
    "type": ["saturate", "hueRotate"],
    "values": ["0", "1 2 3", "0 0 0 0 1 " * 4],
    "primitiveUnits": ["objectBoundingBox"],
    "filterUnits": ["userSpaceOnUse"],
    "filter": ["blur(3px)", "drop-shadow(1px 2px)", "invert(1) blur(1e9px)", "zoom(2)", "url(#i1) sepia(1)"],
    "viewBox": ["0 0 100 100", "0 0 0 0", "5 5 1e-9 1e9", "0 0 10 20"],
}
LENGTH_NAMES = (
    *("x", "y", "width", "height", "rx", "ry", "r", "cx", "cy", "x1", "y1", "x2", "y2", "fx", "fy", "fr", "dx", "dy"),
    *("stroke-width", "stroke-dashoffset", "font-size", "letter-spacing", "word-spacing", "textLength", "startOffset"),
    *("markerWidth", "markerHeight", "refX", "refY", "offset", "pathLength", "stroke-miterlimit", "rotate", "kerning"),
    *("stdDeviation", "radius", "flood-opacity", "k1", "k2"),
)
SHARES = ("opacity", "fill-opacity", "stroke-opacity", "stop-opacity")
REFERENCES = ("fill", "stroke", "clip-path", "mask", "filter", "marker-start", "marker-mid", "marker-end")
HOLDERS = (
    *("g", "a", "svg", "symbol", "switch", "defs", "clipPath", "mask", "pattern", "marker", "text", "tspan"),
    *("textPath", "linearGradient", "radialGradient", "filter"),
)
PRIMITIVES = (
    *("feGaussianBlur", "feOffset", "feFlood", "feMorphology", "feComposite", "feColorMatrix", "feTile", "feMerge"),
    *("feDropShadow", "feBlend", "feComponentTransfer", "feTurbulence"),
)
LEAVES = ("path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "use", "image", "stop", "style", "text")
SHEETS = [
    "path{fill:none;stroke:#000}",
    "#i1,.a>g *{opacity:.5}",
    "@import url(x);@media print{g{mask:url(#i2)}}",
    "*{marker:url(#i3)}",
    ":root{--a:var(--b);--b:var(--a)}rect{fill:var(--a)}",
    "a{" * 30,
]


SORTS = (
    (REFERENCES, [f"url(#{identity})" for identity in IDS], 1),
    (("fill", "stroke", "stop-color", "color"), PAINTS, 1),
    (("transform", "gradientTransform", "patternTransform"), TRANSFORMS, 2),
    (SHARES, NUMBERS, 1),
    (("stroke-dasharray", "points", "x", "dx", "rotate"), NUMBERS, 6),
    (sorted(WORDS), None, 1),
    (LENGTH_NAMES, LENGTHS, 1),
    (LENGTH_NAMES, LENGTHS, 1),
)
"""Names of attributes, the values that they take, and how many at a time."""


@st.composite
def attribute(draw):
    """Return one attribute that some element knows."""
    names, values, most = draw(st.sampled_from(SORTS))
    name = draw(st.sampled_from(names))
    given_values = st.sampled_from(WORDS[name] if values is None else values)
    return name, " ".join(draw(st.lists(given_values, min_size=1, max_size=most)))


@st.composite
def element(draw, depth):
    """Return an element of a drawing; ``depth``: how many more may stand inside one another in it."""
    name = draw(st.sampled_from(HOLDERS + LEAVES + PRIMITIVES))
    given_to = dict(draw(st.lists(attribute(), max_size=5)))
    if draw(st.booleans()):
        given_to["id"] = draw(st.sampled_from(IDS))
    if name in {"use", "textPath", "image", "linearGradient", "radialGradient", "pattern"} and draw(st.booleans()):
        given_to["href"] = "#" + draw(st.sampled_from(IDS))
    if name in {"path", "line", "rect", "circle"}:
        given_to.setdefault("d", draw(st.sampled_from(PATHS)))
        given_to.setdefault("stroke", draw(st.sampled_from(PAINTS)))
        for side in ("width", "height", "r"):
            given_to.setdefault(side, "40")
    if name == "style":
        return f"<style>{draw(st.sampled_from(SHEETS))}</style>"
    written = "".join(f' {key}="{value}"' for key, value in given_to.items())
    held = "".join(draw(st.lists(element(depth - 1), max_size=3))) if name in HOLDERS and depth else ""
    if name in {"text", "tspan", "textPath"}:
        held += draw(st.text("Aj g\u00e9\u05d0\U0001f331\n", max_size=8))
    return f"<{name}{written}>{held}</{name}>"


def drawings():
    """Return a strategy for whole drawings, often with ink and with references that lead round."""
    some = st.lists(element(3), max_size=4)
    heads = st.sampled_from(['width="100" height="100"', 'viewBox="0 0 50 80"', "", 'width="50%"', 'width="1e9mm"'])
    return st.builds(lambda head, body: HEAD.format(head, "".join(body) + '<path d="M1 1h9v9z"/>'), heads, some)


def spoiled(data, rnd):
    """Return bytes with a few places changed, cut out, doubled or swapped for others that mean something."""
    meaning = (
        b"\x00",
        b"\xff",
        b"<",
        b">",
        b"&",
        b'"',
        b"1e300",
        b"-1",
        b"url(#i1)",
        b"<g>",
        b"</g>",
        b"\x7f\xff\xff\xff",
    )
    for _ in range(rnd.choice((1, 1, 1, 2, 3, 6))):
        at, size = rnd.randrange(len(data) + 1), rnd.choice((1, 1, 2, 4, 16, 64))
        how = rnd.randrange(10)
        if how > 5:
            # Another number leaves a drawing in shape, so that it gets further than the parser.
            found = rnd.choice(list(re.finditer(rb"[-.\d]+", data)) or [None])
            if found:
                data = data[: found.start()] + rnd.choice(NUMBERS).encode() + data[found.end() :]
        elif how == 0:
            data = data[:at] + bytes([rnd.randrange(256)]) + data[at + 1 :]
        elif how == 1:
            data = data[:at] + data[at + size :]
        elif how == 2:
            data = data[:at] + data[at : at + size] * rnd.choice((2, 3, 50)) + data[at + size :]
        elif how == 3:
            data = data[:at] + rnd.choice(meaning) + data[at:]
        elif how == 4:
            data = data[: max(1, at)]
        else:
            begin = rnd.randrange(len(data) + 1)
            data = data[:at] + data[begin : begin + size] + data[at + size :]
    return data


def pictures():
    """Return a small bitmap in each format that is read, by the ending of its name."""
    image = Image.new("L", (60, 40), 255)
    ImageDraw.Draw(image).ellipse((8, 5, 50, 33), fill=0)
    found = {}
    for ending, form in (("png", "PNG"), ("jpg", "JPEG"), ("tif", "TIFF"), ("bmp", "BMP"), ("webp", "WEBP")):
        stream = io.BytesIO()
        image.save(stream, form, **({"compression": "tiff_lzw"} if form == "TIFF" else {}))
        found[ending] = stream.getvalue()
    return found


@dataclass
class Judge:
    """Reads files one by one and keeps what went wrong: what was raised, what took too long, what was opened."""

    read: int = 0
    refused: int = 0
    broken: int = 0
    slowest: float = 0.0
    faults: dict[str, object] = field(default_factory=dict)
    opened: list[str] = field(default_factory=list)
    allowed: Path | None = None

    def __post_init__(self):
        self.listening = False
        sys.addaudithook(self._hear)

    def read_text(self, text):
        """Read a drawing from its text."""
        self.judge(lambda: read_svg(text.encode("utf-8", "replace")), text)

    def read_bytes(self, data, path):
        """Read a file that holds ``data``, under a name whose ending says what it was."""
        path.write_bytes(data)
        self.allowed = path
        self.judge(lambda: read_artwork(path), data)

    @property
    def memory(self):
        """The most memory that this process has held, bytes."""
        unit = 1 if sys.platform == "darwin" else 1024
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit

    def judge(self, read, given, *, wrong=None, refusal=ArtworkError):
        """Do what ``read`` does to ``given``; ``wrong`` tells what is wrong with what it returns, if anything."""
        begun, held = process_time(), self.memory
        self.opened.clear()
        self.listening = True
        try:
            # What is warned of would stand on the user's terminal between our own words.
            with warnings.catch_warnings():
                warnings.simplefilter("error")
                result = read()
                fault = (wrong or _what_is_wrong_with_ink)(result)
            self.read += 1
            if fault:
                self.faults.setdefault(fault, given)
        except refusal as error:
            self.refused += 1
            if "\n" in str(error):
                self.faults.setdefault("a message of several lines", given)
        # Whatever else comes out is what is looked for.
        except Exception as error:
            self.broken += 1
            self.faults.setdefault(f"{type(error).__name__}: {error}"[:120], given)
        finally:
            self.listening = False
        took = process_time() - begun
        self.slowest = max(self.slowest, took)
        if took > LONGEST:
            self.faults.setdefault(f"{took:.0f} s", given)
        # What was done earlier in this process may have held as much; only a new most is this input's.
        if self.memory > max(MOST_MEMORY, held):
            self.faults.setdefault("over 2 GiB of memory", given)
        for path in self.opened:
            self.faults.setdefault(f"opened {path}", given)

    def _hear(self, event, arguments):
        if not self.listening:
            return
        if event.startswith(("socket.", "subprocess.", "urllib.", "os.system")):
            self.opened.append(f"{event} {arguments!r}"[:100])
        elif event == "open" and isinstance(arguments[0], str | Path) and not self._is_ours(str(arguments[0])):
            self.opened.append(str(arguments[0]))

    def _is_ours(self, path):
        # Modules that Python loads on first use, with what lies beside them, and the switch that keeps the TIFF library
        # quiet, are no file access.
        if path in {str(self.allowed), "/dev/null"} or path.startswith(sys.prefix):
            return True
        if path.endswith((".py", ".pyc", ".so")):
            return True
        # Pieces may name a mark beside them.
        return self.allowed is not None and self.allowed.suffix == ".toml" and Path(path).parent == self.allowed.parent


def _what_is_wrong_with_ink(artwork):
    return "the ink is empty or not valid" if artwork.inked.is_empty or not artwork.inked.is_valid else None


def spoil(seeds, count, seed, folder, judge):
    """Read ``count`` spoiled files; ``seeds``: bytes and the ending of the name for each."""
    rnd = random.Random(seed)
    for _ in range(count):
        ending, data = rnd.choice(seeds)
        if ending == "svg" and rnd.random() < 0.2:
            data = spoiled(gzip.compress(spoiled(data, rnd)), rnd) if rnd.random() < 0.5 else gzip.compress(data)
        judge.read_bytes(spoiled(data, rnd), folder / f"spoiled.{ending}")
