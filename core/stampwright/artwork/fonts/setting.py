"""Setting type: text in a font as outlines on a baseline, shaped and kerned by the font's own tables."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import Any, cast

import numpy as np
import shapely
import uharfbuzz as harfbuzz
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...errors import ArtworkError
from ...findings import Finding
from ...plane.overlays import all_joined
from .case import Font, opened
from .glyphs import Tint, glyph_layers, glyph_outline
from .levels import reading_levels
from .painted import GlyphLayer, Wash, painted_glyph, washes_of
from .reading import Stretch, stretches

MISSING_GLYPH = "missing glyph"
"""The kind of finding that says which characters a font has not."""

MOST_CHARACTERS = 5_000
"""Characters in one line; more is no lettering."""


@dataclass(frozen=True)
class SetGlyph:
    """One glyph in its place on a line.

    ``outline``: mm, its own origin on the baseline. ``x``, ``y``: where that origin stands on the line, mm.
    ``advance``: from here to the next glyph's origin, spacing included, mm. ``start``, ``end``: indices in the text of
    the first character that it stands for, and past the last. ``layers``: of a colour font, what the glyph is laid of
    and in which colours; ``painting``: how it is painted, where that is more than flat layers, in type sizes.
    """

    outline: MultiPolygon
    x: float
    y: float
    advance: float
    start: int
    end: int
    layers: tuple[tuple[MultiPolygon, Tint | None], ...] = ()
    painting: tuple[Wash | GlyphLayer, ...] = ()


@dataclass(frozen=True)
class SetLine:
    """A line of text, set: glyphs from left to right, baseline on y = 0, starting at x = 0; mm."""

    text: str
    font: Font
    size: float
    glyphs: tuple[SetGlyph, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def advance(self) -> float:
        """From the first glyph's origin to where a next one would stand, mm."""
        return sum(glyph.advance for glyph in self.glyphs)

    @property
    def outlines(self) -> MultiPolygon:
        """The whole line as one region, mm."""
        placed = np.array([glyph.outline for glyph in self.glyphs], dtype=object)
        points, owner = shapely.get_coordinates(placed, return_index=True)
        origins = np.array([(glyph.x, glyph.y) for glyph in self.glyphs]).reshape(-1, 2)
        return joined(shapely.set_coordinates(placed, points + origins[owner]))


def outline_text(
    text: str, font: Font, size: float, *, kerning: bool = True, spacing: float = 0.0, tolerance: float = 0.005
) -> MultiPolygon:
    """Return text as a region, its origin at the start of the baseline; see :func:`set_line`.

    Raises as :func:`set_line` does.

    >>> from stampwright.artwork.fonts import find_font
    >>> font, _ = find_font("sans-serif", 700)
    >>> round(outline_text("H", font, 10.0).bounds[3], 2)
    7.14
    """
    return set_line(text, font, size, kerning=kerning, spacing=spacing, tolerance=tolerance).outlines


def set_line(
    text: str,
    font: Font,
    size: float,
    *,
    kerning: bool = True,
    spacing: float = 0.0,
    ligatures: bool = True,
    tolerance: float = 0.005,
    leftward: bool | None = None,
    features: Mapping[str, int] | None = None,
    stand_ins: Mapping[int, Font] | None = None,
) -> SetLine:
    """Set one line of text.

    ``size``: type size (the em), mm. ``kerning``: use the font's kerning. ``spacing``: added after every letter, its
    accents with it, mm. ``ligatures``: join letters where the font does; never where they are spaced. ``tolerance``:
    how far flattened curves may stray, mm. Line breaks count as spaces. ``leftward``: whether all of it is read from
    right to left; None where each stretch is read as its letters are, and put in its place on the line. ``features``:
    of the font's own tables, on or off by their names, such as smcp; they come before the others. ``stand_ins``: the
    fonts of characters that are set in another, by their indices in the text. Findings name characters that their font
    lacks, which are left out. Raises :class:`ArtworkError` for a size that is not positive or for more than
    ``MOST_CHARACTERS`` characters.
    """
    _check_line(text, size, spacing, tolerance)
    # A lone surrogate cannot be shaped; the replacement character, which stands in, is then reported as missing.
    text = "".join(" " if each.isspace() else "\ufffd" if "\ud800" <= each <= "\udfff" else each for each in text)
    runs = stretches(reading_levels(text)) if leftward is None else [Stretch(0, len(text), leftward)]
    # A power of two, so that sizes close to each other share the cached outlines.
    relative = 2.0 ** math.floor(math.log2(tolerance / size))
    joining = dict.fromkeys(("liga", "clig"), int(ligatures and not spacing))
    used = {"kern": int(kerning), **joining, **(features or {})}
    glyphs, missing, x = [], [], 0.0
    for run, own in _by_font(runs, font, stand_ins or {}):
        face, scale = opened(own), size / opened(own).face.upem
        buffer = _shaped(face, text[run.start : run.end], run.leftward, used)
        shaped = list(zip(buffer.glyph_infos or (), buffer.glyph_positions or (), strict=True))
        ends = _ends_of([info.cluster for info, _ in shaped], run)
        missing += _lacking(face, text[run.start : run.end], [info for info, _ in shaped])
        shaped = [each for each in shaped if each[0].codepoint]
        last_of = {info.cluster: number for number, (info, _) in enumerate(shaped)}
        for number, (info, position) in enumerate(shaped):
            start, outline = run.start + info.cluster, _sized(own, info.codepoint, size, relative)
            layers = _layers_of(own, info.codepoint, size, relative)
            advance = position.x_advance * scale + (spacing if last_of[info.cluster] == number else 0.0)
            at = x + position.x_offset * scale, position.y_offset * scale
            painting = painted_glyph(own, info.codepoint, relative)
            glyphs.append(SetGlyph(outline, *at, advance, start, ends[start], layers, painting))
            x += advance
    return SetLine(text, font, size, tuple(glyphs), _setting_findings(text, font, missing))


def _layers_of(font: Font, glyph: int, size: float, relative: float) -> tuple[tuple[MultiPolygon, Tint | None], ...]:
    return tuple((_sized(font, part, size, relative), tint) for part, tint in glyph_layers(font, glyph))


def _ends_of(clusters: Sequence[int], run: Stretch) -> dict[int, int]:
    """Return for each index in the text where glyphs of a run start where the characters end that they stand for."""
    starts = sorted({run.start + cluster for cluster in clusters})
    return dict(zip(starts, [*starts[1:], run.end], strict=False))


def _by_font(runs: Sequence[Stretch], font: Font, stand_ins: Mapping[int, Font]) -> Iterator[tuple[Stretch, Font]]:
    """Yield stretches of one font each, in the order in which they stand on the line."""
    for run in runs:
        own = [(used, list(at)) for used, at in groupby(range(run.start, run.end), lambda at: stand_ins.get(at, font))]
        for used, at in reversed(own) if run.leftward else own:
            yield Stretch(at[0], at[-1] + 1, run.leftward), used


def _check_line(text: str, size: float, spacing: float, tolerance: float) -> None:
    if not (0 < size < 1e4 and abs(spacing) < 1e4 and tolerance > 0):
        raise ArtworkError(f"type size {size:g} mm with spacing {spacing:g} mm cannot be set; give a size over 0")
    if len(text) > MOST_CHARACTERS:
        raise ArtworkError(
            f"a line of {len(text)} characters is too long (at most {MOST_CHARACTERS}); "
            "split it or raise fonts.setting.MOST_CHARACTERS"
        )


@lru_cache(maxsize=4_096)
def _sized(font: Font, glyph: int, size: float, relative: float) -> MultiPolygon:
    outline = glyph_outline(font, glyph, relative)
    if outline.is_empty:
        # A letter that is only painted is filled where it is.
        outline = joined([wash.region for wash in washes_of(painted_glyph(font, glyph, relative))])
    return affinity.scale(outline, size, size, origin=(0, 0))


def _shaped(face: Any, text: str, leftward: bool, features: Mapping[str, int]) -> harfbuzz.Buffer:
    """Return text shaped by the font's own tables; letters that are spaced do not join to ligatures."""
    buffer = harfbuzz.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    buffer.direction = "rtl" if leftward else "ltr"
    harfbuzz.shape(face, buffer, dict(features))
    return buffer


def _lacking(face: Any, text: str, glyphs: Sequence[Any]) -> list[str]:
    """Return the characters of a run that the font has no glyph for: of those set together, the ones it lacks."""
    starts = sorted({info.cluster for info in glyphs})
    ends = dict(zip(starts, [*starts[1:], len(text)], strict=True))
    missing: list[str] = []
    for start in sorted({info.cluster for info in glyphs if not info.codepoint}):
        together = text[start : ends[start]]
        missing += [each for each in together if face.get_nominal_glyph(ord(each)) is None] or [together[0]]
    return missing


def joined(regions: Sequence[BaseGeometry] | NDArray[np.object_]) -> MultiPolygon:
    """Return the union of regions; what touches nothing else is taken as it is, which letters mostly do.

    ``regions``: valid ones. Lines and points are left out.
    """
    parts, region = shapely.get_parts(list(regions), return_index=True)
    filled = (shapely.get_dimensions(parts) == 2) & (shapely.area(parts) > 0)
    parts, region = parts[filled], region[filled]
    meeting = np.zeros(len(parts), dtype=np.bool_)
    if len(region) and region[0] != region[-1]:
        # Parts of one region meet in points at most.
        one, other = shapely.STRtree(parts).query(parts, predicate="intersects")
        meeting[one[region[one] != region[other]]] = True
    met = shapely.get_parts(all_joined(parts[meeting]))
    whole = met[(shapely.get_type_id(met) == shapely.GeometryType.POLYGON) & (shapely.area(met) > 0)]
    # Several times as fast as the class's own constructor, which looks at every part.
    return cast(MultiPolygon, shapely.multipolygons(np.concatenate((parts[~meeting], whole))))


def _setting_findings(text: str, font: Font, missing: list[str]) -> tuple[Finding, ...]:
    findings = []
    if missing:
        named = ", ".join(f"{character!r} (U+{ord(character):04X})" for character in sorted(set(missing))[:10])
        findings.append(
            Finding(
                kind=MISSING_GLYPH,
                severity="warns",
                stage="artwork",
                message=f"{font.family} has no {named}; left out of {_shortened(text)!r}.",
                remedy="Choose a font that has these characters.",
            )
        )
    return tuple(findings)


def _shortened(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."
