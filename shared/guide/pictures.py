"""Makes every picture of the guide and of the README again, through the package as anybody uses it.

    python shared/guide/pictures.py [NAME ...]

Needs the packages of the test group: resvg draws what is put together here as SVG. Each example is made from its file
and job in ``shared``; what is shown as its impression is the picture that was taken from the written die.
"""

from __future__ import annotations

import base64
import io
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from html import escape
from itertools import chain
from pathlib import Path

import resvg_py
import stampwright
from PIL import Image, ImageColor
from shapely.geometry import MultiPolygon, Polygon
from stampwright.cli import main as run_program
from stampwright.findings import SEVERITIES, gathered
from stampwright.looks.colours import ADDED, INK, PAPER, QUIET, REMOVED, RULE
from stampwright.looks.colours import SEVERITY as MARKED

GUIDE = Path(__file__).resolve().parent
SHARED = GUIDE.parent
FONTS = Path(stampwright.__file__).parent / "artwork" / "fonts" / "bundled"

WIDE = 1500
"""Pixels across a picture of three panels."""

PANEL, GAP, HEAD, LINE = 480.0, 30.0, 44.0, 24.0
"""Width of a panel, the space between two and over them, and a line of remarks; pixels."""

MOST_CIRCLES = 12
"""Places ringed for one kind of finding; more would hide the drawing."""

COLOURS = 224
"""In a picture's palette."""


@dataclass(frozen=True)
class Example:
    """One way from a file to an impression."""

    name: str
    artwork: str
    source: str

    @property
    def file(self) -> Path:
        """The artwork's file."""
        return SHARED / "artwork" / self.artwork


EXAMPLES = (
    Example("scan", "sunflower-scan.jpg", "The scan: 300 dpi, dim to the right"),
    Example("photograph", "pumpkin-photo.jpg", "The photograph"),
    Example("lettering", "packet-label.svg", "The SVG file, its lettering as text"),
    Example("pieces", "lending-card.toml", "The pieces, as text"),
)


def main(names: list[str]) -> int:
    """Make the pictures that are named, or all of them."""
    makers: dict[str, Callable[[], None]] = {each.name: partial(picture_example, each) for each in EXAMPLES}
    makers["demo"], makers["examination"], makers["inks"] = picture_demo, picture_examination, picture_inks
    for name in names or list(makers):
        makers[name]()
    return 0


def picture_example(example: Example) -> None:
    """Write an example's picture: its file, what was found in it, and its impression."""
    job = stampwright.read_job(SHARED / "jobs" / f"{example.file.stem}.toml")
    artwork = stampwright.read_artwork(example.file, fitted_to=stampwright.fitted_size(job), tracing=job.tracing)
    with tempfile.TemporaryDirectory() as folder:
        stamp, written = stampwright.make_files(job, artwork, Path(folder) / "stamp")
        if written is None:
            raise SystemExit(f"{example.file}: {[finding.message for finding in stamp.blocked]}")
        impression = Image.open(written.files["impression.png"]).copy()
    view = View(stamp.layout.base)
    proven = f"pressed from the written file: {100 * written.comparison.worst:.1f} % of the outlines"
    panels = [
        (example.source, [(QUIET, example.artwork)], _source(example, artwork, stamp, view)),
        ("The outlines, and what was found", list(_said(stamp)), _examined(stamp, view)),
        ("The impression", [(QUIET, proven)], view.impression(stamp.impression, impression)),
    ]
    _write_svg(GUIDE / f"{example.name}.png", _side_by_side(panels, view.height), WIDE)


def picture_demo() -> None:
    """Write the README's pictures: impression, parts and proof of the demo stamp, made on the command line."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "demo"
        job, artwork = SHARED / "jobs" / "ownership-mark.toml", SHARED / "artwork" / "ownership-mark.svg"
        _run("make", artwork, "--job", job, "--out", folder)
        meshes = [folder / f"{part}.stl" for part in ("die", "backing", "handle")]
        _run("view", *meshes, "--out", folder / "parts.png", "--width", 1200)
        impression = Image.open(folder / "impression.png")
        _write(GUIDE / "impression.png", impression.resize((740, 740), Image.Resampling.LANCZOS), 16)
        _write(GUIDE / "parts.png", Image.open(folder / "parts.png"), COLOURS)
        _write_svg(GUIDE / "proof.png", (folder / "proof.svg").read_text(encoding="utf-8"), 1000)
        _write(GUIDE / "customer.png", _narrowed(folder / "customer.png", 740), 32)


def picture_examination() -> None:
    """Draw the examination of a return address that is too fine for its printer, as the command line does."""
    with tempfile.TemporaryDirectory() as scratch:
        sheet = Path(scratch) / "examination.png"
        job, artwork = SHARED / "jobs" / "return-address.toml", SHARED / "artwork" / "return-address.svg"
        coarse = ("--set", "preflight.repair=false", "--set", "printer.nozzle=0.4", "--set", "printer.layer=0.2")
        # It blocks, which is what the picture is for.
        run_program(list(map(str, ("preflight", artwork, "--job", job, *coarse, "--out", sheet))))
        _write(GUIDE / "examination.png", _narrowed(sheet, 900), 48)


def picture_inks() -> None:
    """Write the pictures of a set in two inks: its proof, and its art, separations, worst miss and gauge in a row."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "set"
        _run("make", "--job", SHARED / "jobs" / "marigold.toml", "--out", folder)
        _run("view", folder / "gauge.stl", "--out", folder / "gauge.png", "--width", 480)
        _write_svg(GUIDE / "inks-proof.png", (folder / "proof.svg").read_text(encoding="utf-8"), 900)
        shown = [Image.open(folder / ink / "impression.png").convert("RGB") for ink in ("petals", "leaves")]
        shown += [Image.open(folder / name).convert("RGB") for name in ("impression.png", "gauge.png")]
        _write(GUIDE / "inks.png", _in_a_row(shown, 480), COLOURS)


def _in_a_row(pictures: Sequence[Image.Image], side: int) -> Image.Image:
    """Return pictures beside each other, each as large as a square of that side holds, on white."""
    row = Image.new("RGB", (side * len(pictures), side), "white")
    for at, picture in enumerate(pictures):
        share = 0.94 * side / max(picture.size)
        small = picture.resize([max(1, round(share * size)) for size in picture.size], Image.Resampling.LANCZOS)
        row.paste(small, (at * side + (side - small.width) // 2, (side - small.height) // 2))
    return row


def _narrowed(picture: Path, width: int) -> Image.Image:
    shown = Image.open(picture)
    return shown.resize((width, round(shown.height * width / shown.width)), Image.Resampling.LANCZOS)


@dataclass(frozen=True)
class View:
    """Where millimetres of paper come to lie in a panel: the whole base, as large as it goes."""

    base: Polygon

    @property
    def scale(self) -> float:
        """Pixels to a millimetre."""
        left, _, right, _ = self.base.bounds
        return PANEL / (right - left + 4.0)

    @property
    def height(self) -> float:
        """Height of the panel, pixels."""
        _, bottom, _, top = self.base.bounds
        return (top - bottom + 4.0) * self.scale

    @property
    def transform(self) -> str:
        """The SVG transform from paper, y up, to the panel."""
        return f"translate({PANEL / 2:g} {self.height / 2:g}) scale({self.scale:.6g} {-self.scale:.6g})"

    def outline(self) -> str:
        """Return the base's edge."""
        return self.region(
            self.base, f'fill="none" stroke="{RULE}" stroke-width="{1.4 / self.scale:.4g}" stroke-dasharray="1.2 0.8"'
        )

    def region(self, region: Polygon | MultiPolygon, style: str) -> str:
        """Return a region on paper as SVG."""
        rings = [
            "M" + " ".join(f"{x:.3f},{y:.3f}" for x, y in ring.coords[:-1]) + "Z"
            for part in getattr(region, "geoms", [region])
            for ring in (part.exterior, *part.interiors)
        ]
        return f'<path transform="{self.transform}" d="{"".join(rings)}" fill-rule="evenodd" {style}/>'

    def impression(self, impression: stampwright.Impression, picture: Image.Image) -> str:
        """Return the picture of an impression where it lies on paper."""
        pixel = 25.4 / impression.dpi * self.scale
        left, bottom = impression.corner
        size = (picture.width * pixel, picture.height * pixel)
        corner = (PANEL / 2 + left * self.scale, self.height / 2 - bottom * self.scale - size[1])
        return _image(picture, corner, size) + self.outline()

    def page(self, picture: Image.Image, artwork: stampwright.Artwork, matrix: tuple[float, ...]) -> str:
        """Return the picture of an artwork's whole page where the layout puts it."""
        a, b, d, e, x, y = matrix
        width, height = artwork.page_size
        return (
            f'<g transform="{self.transform} matrix({a:.6g} {d:.6g} {b:.6g} {e:.6g} {x:.6g} {y:.6g}) '
            f'translate(0 {height:.6g}) scale(1 -1)">{_image(picture, (0.0, 0.0), (width, height))}</g>'
        )


def _source(example: Example, artwork: stampwright.Artwork, stamp: stampwright.Stamp, view: View) -> str:
    match example.file.suffix:
        case ".toml":
            return _text_card(example.file, view.height)
        case ".svg":
            drawn = resvg_py.svg_to_bytes(svg_path=str(example.file), width=1400, background=PAPER, **_alike())
            picture = Image.open(io.BytesIO(bytes(drawn)))
        case _:
            picture = Image.open(example.file)
    return view.page(picture, artwork, stamp.layout.matrix)


def _text_card(file: Path, height: float) -> str:
    """Return as much of a text file as fits, from its second piece on: what makes a code and a mark."""
    lines = file.read_text(encoding="utf-8").split("\n\n")
    text = "\n\n".join(lines[2:]).splitlines()
    step = 21.0
    shown = [*text[: int((height - 16) / step) - 1], "..."]
    return "".join(
        f'<text x="16" y="{24 + step * number:g}" font-size="17" fill="{INK if line[:2] != "[[" else QUIET}">'
        f"{escape(line)}</text>"
        for number, line in enumerate(shown)
    )


def _examined(stamp: stampwright.Stamp, view: View) -> str:
    thin = f'stroke="{INK}" stroke-width="{0.9 / view.scale:.4g}"'
    parts = [view.outline(), view.region(stamp.inked, f'fill="#dfe3e8" {thin}')]
    if stamp.repair is not None:
        for region, colour in ((stamp.repair.removed, REMOVED), (stamp.repair.added, ADDED)):
            parts.append(view.region(region, f'fill="{colour}" stroke="{colour}" stroke-width="{2 / view.scale:.4g}"'))
    for alike in gathered(finding for finding in _about_artwork(stamp) if finding.kind != "mended"):
        for finding in alike[:MOST_CIRCLES]:
            parts += _ring(finding, view)
    return "".join(parts)


def _ring(finding: stampwright.Finding, view: View) -> Iterator[str]:
    """Yield a ring round a finding's place, unless it is all over the stamp."""
    if finding.place is None or finding.place.is_empty:
        return
    left, bottom, right, top = finding.place.bounds
    reach = max(right - left, top - bottom) / 2
    if reach < 8.0:
        line = f'fill="none" stroke="{MARKED[finding.severity]}" stroke-width="{2.2 / view.scale:.4g}"'
        yield (
            f'<circle transform="{view.transform}" cx="{(left + right) / 2:.3f}" cy="{(bottom + top) / 2:.3f}" '
            f'r="{reach + 0.9:.3f}" {line}/>'
        )


def _said(stamp: stampwright.Stamp) -> Iterator[tuple[str, str]]:
    """Yield what was found, in a few words, with the colour of each severity."""
    about = _about_artwork(stamp)
    for severity in SEVERITIES:
        kinds = [alike for alike in gathered(about) if alike[0].severity == severity]
        if kinds:
            yield (
                MARKED[severity],
                f"{severity}: "
                + ", ".join(alike[0].kind + (f" ({len(alike)})" if len(alike) > 1 else "") for alike in kinds),
            )
    if not about:
        yield QUIET, "nothing was found"


def _about_artwork(stamp: stampwright.Stamp) -> list[stampwright.Finding]:
    return [finding for finding in stamp.findings if finding.stage in ("artwork", "layout", "preflight")]


def _side_by_side(panels: list[tuple[str, list[tuple[str, str]], str]], height: float) -> str:
    """Return panels in a row as one SVG, each with its title over and its remarks under it."""
    width = len(panels) * PANEL + (len(panels) - 1) * GAP
    parts = []
    for number, (title, remarks, drawing) in enumerate(panels):
        parts.append(
            f'<g transform="translate({number * (PANEL + GAP):g} 0)">'
            f'<text x="0" y="28" font-size="21" font-weight="bold" fill="{INK}">{escape(title)}</text>'
            f'<svg y="{HEAD:g}" width="{PANEL:g}" height="{height:g}" overflow="hidden">{drawing}</svg>'
            f'<rect y="{HEAD:g}" width="{PANEL:g}" height="{height:g}" fill="none" stroke="{RULE}" stroke-width="1.5"/>'
        )
        for row, (colour, words) in enumerate(remarks):
            line = HEAD + height + LINE * (row + 1)
            parts.append(f'<text x="0" y="{line:g}" font-size="17" fill="{colour}">{escape(words)}</text>')
        parts.append("</g>")
    rim = 6.0
    below = LINE * max(len(remarks) for _, remarks, _ in panels)
    size = (width + 2 * rim, HEAD + height + below + 2 * rim)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{size[0]:g}" height="{size[1]:g}" '
        f'viewBox="{-rim:g} 0 {size[0]:g} {size[1]:g}" font-family="Noto Sans">{"".join(parts)}</svg>'
    )


def _image(picture: Image.Image, corner: tuple[float, float], size: tuple[float, float]) -> str:
    held = io.BytesIO()
    picture.convert("RGB").save(held, "PNG")
    data = base64.b64encode(held.getvalue()).decode("ascii")
    return (
        f'<image x="{corner[0]:.4f}" y="{corner[1]:.4f}" width="{size[0]:.4f}" height="{size[1]:.4f}" '
        f'preserveAspectRatio="none" href="data:image/png;base64,{data}"/>'
    )


def _alike() -> dict[str, object]:
    """Return what makes resvg draw alike on every machine: with the fonts that the package brings, and no others."""
    family = "Noto Sans"
    return {
        "dpi": 96.0,  # as CSS has it; without, a size in mm is none
        "skip_system_fonts": True,
        "font_files": [str(file) for file in sorted(FONTS.glob("*.ttf"))],
        "font_family": family,
        "sans_serif_family": family,
        "serif_family": family,
    }


def _write_svg(path: Path, svg: str, width: int, colours: int = COLOURS) -> None:
    drawn = resvg_py.svg_to_bytes(svg_string=svg, width=width, background=PAPER, **_alike())
    _write(path, Image.open(io.BytesIO(bytes(drawn))), colours)


def _write(path: Path, picture: Image.Image, colours: int) -> None:
    """Write a picture with a palette of few colours, which keeps the repository small."""
    picture = picture.convert("RGB")
    # The colours of marks are rare: cut by the median alone, the palette would lose them.
    rare = [ImageColor.getrgb(colour) for colour in (*MARKED.values(), ADDED, REMOVED)]
    common = picture.quantize(colours - len(rare), kmeans=2).getpalette() or []
    palette = Image.new("P", (1, 1))
    palette.putpalette([*common[: 3 * (colours - len(rare))], *chain.from_iterable(rare)])
    reduced = picture.quantize(palette=palette, dither=Image.Dither.NONE)
    reduced.putpalette(_paper_white(reduced.getpalette() or []))
    reduced.save(path, optimize=True)
    print(f"{path.name}: {picture.width} x {picture.height}, {path.stat().st_size / 1000:.0f} kB")


def _paper_white(palette: list[int]) -> list[int]:
    """Return a palette whose almost white is white: bare paper comes out as the mean of itself and its edges."""
    threes = (palette[at : at + 3] for at in range(0, len(palette), 3))
    return [*chain.from_iterable([255] * 3 if min(three) > 250 else three for three in threes)]


def _run(*arguments: object) -> None:
    code = run_program([str(argument) for argument in arguments])
    if code:
        raise SystemExit(f"stampwright {' '.join(map(str, arguments))}: exit code {code}")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
