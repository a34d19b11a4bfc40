"""Drawings that no printer likes, each drawn by rule at a size that blocks: what makers bring, and worse."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageFilter
from stampwright import Artwork, Stamp, make_artwork, make_stamp, read_artwork
from stampwright.job import Job
from stampwright.job.pieces import Lettering, Piece, QrCode, RoundLettering
from stampwright.remedy import ways_to_pass
from stampwright.remedy.trials import MOST_WORK
from stampwright.workshop import artwork_of

from .print_reader import DPI, picture_of

PAGE = 46.0  # mm, as high as wide
WORDS = ("Mossgate Seed Library", "Return by Friday", "LENT NOT SOLD", "Parsley & dill", "Bag 12 of 40", "Sow in April")


def svg(body: str, **style: str) -> str:
    told = " ".join(f'{name.replace("_", "-")}="{value}"' for name, value in style.items())
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{PAGE}mm" height="{PAGE}mm" viewBox="0 0 {PAGE} {PAGE}">'
        f"<g {told}>{body}</g></svg>"
    )


def ring_of(count: int, radius: float, turn: float = 0.0) -> list[tuple[float, float]]:
    angles = [turn + 2 * math.pi * at / count for at in range(count)]
    return [(PAGE / 2 + radius * math.cos(angle), PAGE / 2 + radius * math.sin(angle)) for angle in angles]


def line(points: list[tuple[float, float]], *, closed: bool = False) -> str:
    return f'<path d="M{" L".join(f"{x:.3f},{y:.3f}" for x, y in points)}{"Z" if closed else ""}"/>'


def small_type(at: int) -> str:
    size = (1.6, 1.9, 2.2, 2.6, 3.0, 3.4, 3.8, 4.4, 5.0, 2.4)[at]
    face = ("Noto Sans", "DejaVu Serif", "DejaVu Sans")[at % 3]
    lines = [WORDS[(at + row) % len(WORDS)] for row in range(1 + at % 3)]
    texts = "".join(f'<text x="3" y="{8 + 1.5 * size * row:.2f}">{words.replace("&", "&amp;")}</text>'
                    for row, words in enumerate(lines))  # fmt: skip
    return svg(texts, font_family=face, font_size=f"{size}", font_weight="400" if at % 2 else "700")


def tight_type(at: int) -> str:
    body = f'<text x="3" y="20">{("MINIMILL", "Ill will", "BHEBH", "mmnnuu")[at % 4]}</text>'
    return svg(body, font_family="Noto Sans", font_size="6", font_weight="700", letter_spacing=f"{-0.9 - 0.05 * at}")


def hairlines(at: int) -> str:
    count, width = 6 + 3 * at, (0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.38)[at % 8]
    rays = [line([(PAGE / 2, PAGE / 2), spot]) if at % 2 else line([(4, spot[1]), (40, spot[1])])
            for spot in ring_of(count, 15)]  # fmt: skip
    return svg("".join(rays), stroke="black", stroke_width=str(width), fill="none")


def hatching(at: int) -> str:
    step, width = 0.45 + 0.05 * at, 0.2 + 0.02 * at
    lines = [line([(8 + step * row, 8), (8 + step * row + (row % 3), 24)]) for row in range(24)]
    if at % 2:
        lines += [line([(8, 8 + step * row), (20, 8 + step * row)]) for row in range(24)]
    return svg("".join(lines), stroke="black", stroke_width=f"{width:.2f}", fill="none")


def near_touching(at: int) -> str:
    gap, size = 0.09 + 0.012 * at, 2.0 + 0.4 * at
    discs = [f'<circle cx="{6 + (size + gap) * (n % 6):.3f}" cy="{6 + (size + gap) * (n // 6):.3f}" r="{size / 2}"/>'
             for n in range(18)]  # fmt: skip
    bars = [f'<rect x="{6 + (1.2 + gap) * n:.3f}" y="6" width="1.2" height="{10 + n % 3}"/>' for n in range(9)]
    return svg("".join(bars) if at % 2 else "".join(discs) + "".join(bars).replace('y="6"', 'y="30"'))


def tiny_counters(at: int) -> str:
    hole = 0.06 + 0.025 * at
    shapes = []
    for n in range(12):
        x, y = 6 + 4 * (n % 4), 8 + 4 * (n // 4)
        shapes.append(f'<path fill-rule="evenodd" d="M{x},{y}h2v2h-2z M{x + 0.5},{y + 0.5}h{hole}v1h-{hole}z"/>')
    return svg("".join(shapes) + f'<text x="6" y="30" font-size="{2 + 0.2 * at}" font-weight="700">&amp;8ae</text>')


def rosettes(at: int) -> str:
    loops = 5 + 2 * at
    points = []
    for n in range(720):
        angle = 2 * math.pi * n / 720
        radius = 10 + 5 * math.sin(loops * angle)
        points.append((PAGE / 2 + radius * math.cos(3 * angle), PAGE / 2 + radius * math.sin(3 * angle)))
    return svg(line(points, closed=True), stroke="black", stroke_width=f"{0.12 + 0.03 * at:.2f}", fill="none")


def stars(at: int) -> str:
    outer, inner = ring_of(20 + 4 * at, 16), ring_of(20 + 4 * at, 3 + at, math.pi / (20 + 4 * at))
    star = line([spot for pair in zip(outer, inner, strict=True) for spot in pair], closed=True)
    thin = 0.15 + 0.02 * at
    return svg(star + f'<circle cx="23" cy="23" r="19" fill="none" stroke="black" stroke-width="{thin:.2f}"/>')


def dots(at: int) -> str:
    size, step = 0.06 + 0.02 * at, 0.9 + 0.08 * at
    spots = [f'<circle cx="{6 + step * (n % 20):.2f}" cy="{6 + step * (n // 20):.2f}" r="{size:.2f}"/>'
             for n in range(200)]  # fmt: skip
    return svg("".join(spots) + '<rect x="6" y="30" width="20" height="5"/>')


def scan(at: int, folder: Path) -> Path:
    """Return a line of print as a scanner of few dots sees it, out of focus and with grain."""
    dpi = 150 + 25 * at
    words = Lettering(text=WORDS[at % len(WORDS)], cap_height=1.4 + 0.2 * at, weight=400)
    sharp = picture_of(make_artwork([words]).inked)
    page = sharp.resize([round(side * dpi / DPI) for side in sharp.size], Image.Resampling.BOX)
    grain = np.random.default_rng(at).normal(0, 12, (page.height, page.width))
    grey = np.asarray(page.filter(ImageFilter.GaussianBlur(0.6)), dtype=float) * 0.9 + 10 + grain
    file = folder / f"scan-{at}.png"
    Image.fromarray(np.clip(grey, 0, 255).astype(np.uint8)).save(file, dpi=(dpi, dpi))
    return file


def code(at: int) -> tuple[Piece, ...]:
    text = f"mossgate.example/seed/{at}"
    return (QrCode(text=text, module=0.15 + 0.04 * at), Lettering(text="Seed", cap_height=2.0, y=-12))


def round_type(at: int) -> tuple[Piece, ...]:
    return (RoundLettering(text="MOSSGATE SEED LIBRARY", radius=7 + at, cap_height=1.2 + 0.15 * at, weight=400),)


@dataclass(frozen=True)
class Advice:
    """What became of a drawing: the kinds that block it, the first way that is told, and what blocks with that."""

    name: str
    blocked: tuple[str, ...]
    what: str = ""
    left: tuple[str, ...] = ()

    @property
    def passes(self) -> bool:
        """Whether there is a way, and nothing blocks when it is taken."""
        return bool(self.what) and not self.left

    def in_words(self) -> str:
        """Return a line about it."""
        left = f": still {', '.join(self.left)}" if self.left else ""
        return f"{self.name} ({', '.join(self.blocked) or 'nothing blocks'}): {self.what or 'no way found'}{left}"


DRAWN = (small_type, tight_type, hairlines, hatching, near_touching, tiny_counters, rosettes, stars, dots)
ICON_SIZES = (3.0, 3.5, 4.0, 4.5, 5.0)  # mm


@dataclass(frozen=True)
class Awkward:
    """A drawing by name, and the job and artwork that it is made by; ``read``: reads it anew by another job."""

    name: str
    job: Job
    read: Callable[[Job], Artwork]


def awkward_drawings(folder: Path, icons: list[Path]) -> list[Awkward]:
    """Return a hundred drawings: those drawn here, each kind at eight sizes or so, and icons at a few mm."""
    as_drawn = Job().with_values({"layout.size_by": "page"})
    made = []
    for draw in DRAWN:
        for at in range(7 if draw is dots else 8):
            file = folder / f"{draw.__name__}-{at}.svg"
            file.write_text(draw(at), encoding="utf-8")
            made.append(Awkward(file.stem, as_drawn, _reading(file)))
    for at in range(5):
        made.append(Awkward(f"scan-{at}", as_drawn, _reading(scan(at, folder))))
        for pieces in (code, round_type):
            job = Job(**{**vars(as_drawn), "pieces": pieces(at)})
            made.append(Awkward(f"{pieces.__name__}-{at}", job, artwork_of))
    for at, file in enumerate(icons[:: max(1, len(icons) // 14)][:14]):
        size = ICON_SIZES[at % len(ICON_SIZES)]
        job = as_drawn.with_values({"layout.size_by": "width", "layout.width": size})
        made.append(Awkward(f"{file.stem} at {size:g} mm", job, _reading(file)))
    return made


def first_advice(drawing: Awkward, *, work: float = MOST_WORK) -> Advice:
    """Look for ways, and make the stamp anew by the first of them."""
    artwork = drawing.read(drawing.job)
    blocked = _kinds(make_stamp(drawing.job, artwork))
    ways = ways_to_pass(drawing.job, artwork, read=drawing.read, work=work) if blocked else ()
    if not ways:
        return Advice(drawing.name, blocked)
    changed = drawing.job.with_values(dict(ways[0].settings))
    return Advice(drawing.name, blocked, ways[0].what, _kinds(make_stamp(changed, drawing.read(changed))))


def _kinds(stamp: Stamp) -> tuple[str, ...]:
    return tuple(sorted({finding.kind for finding in stamp.blocked}))


def _reading(file: Path) -> Callable[[Job], Artwork]:
    return lambda job: read_artwork(file, tracing=job.tracing)
