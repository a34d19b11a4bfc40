"""From a bitmap file to artwork: read, even out, tell ink from paper, trace, fit, size."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from ...errors import ArtworkError
from ...face.tones.screens import choose_screen, screen_tones, screened_finding
from ...findings import Finding, Severity
from ...job.sections.tracing import TracingSection
from ...looks.numbers import percent
from ...plane.rasters.pictures import Picture, decode_picture, read_picture
from ..artwork import Artwork
from ..colours import about_areas, code_of
from ..kinds import TONES_IN_BITMAP
from ..unused import not_used
from .contours import drop_specks, spread_evenly, trace_contours
from .curves import fit_curves
from .deskewing import level_scan
from .flat import boxes_of, find_mixtures, find_palette, inked_colours, inkness
from .regions import as_regions
from .sharpening import measure_blur, measure_noise, sharpen, smooth
from .stairs import follows_pixels, without_stairs
from .surroundings import edge_levels, local_threshold
from .table import without_table
from .thresholds import Greys, Levels, find_levels, flatten_light, is_even, share_of_tones

ASSUMED_DPI = 300.0
"""Resolution of a bitmap that records none: the usual one of scanners (common practice)."""

LEAST_CONTRAST = 0.02
"""Difference of brightness between ink and paper under which a picture is one even tone; 5 of 255 steps."""

MOST_EDGES = 1_500_000
"""Neighbouring pixels of which one is ink and one paper; a page of print at 600 dpi has half of that."""

SHARP = 0.7
"""Pixels of blur below which a picture stays as it is; a clean scan and its smoothing have as much."""

SHARPENING = 1.5
"""How often what smoothing takes away is added, for each square pixel of blur beyond that (measured)."""

LEAST_SHARPENING, MOST_SHARPENING = 0.25, 3.0
"""Less changes no outline by a hundredth of a pixel; more draws out the noise that is left."""

FINEST_FIT = 0.2
"""Pixels; traced edges are not known better than this."""

MOST_TONES = 0.05
"""Share of tones between ink and paper, beside blurred edges, up to which a bitmap is line art: however faded,
dense or blurred that was in trials, it had 0.03 at the most, and portraits, landscapes and washes 0.11 to 0.27."""

DARKER_THAN = TracingSection().ink_darker_than
"""The tone that nobody has set."""

BY_BRIGHTNESS = "Set tracing.threshold = fixed and tracing.brightness, or draw it in a few flat colours."


@dataclass(frozen=True, eq=False)
class TracedPicture:
    """What tracing gives: ink in mm from the picture's lower-left corner, and what was noticed."""

    inked: MultiPolygon
    findings: tuple[Finding, ...]


def read_bitmap(path: str | Path, *, data: bytes | None = None, tracing: TracingSection | None = None) -> Artwork:
    """Read a scan or photograph (PNG, JPEG, TIFF, BMP, WebP, GIF) as artwork of true size.

    ``data``: its bytes, where they have been read already. ``tracing``: how to trace, and the resolution or width
    where the file's own is not to be taken. Raises :class:`ArtworkError` when the file cannot be read or holds no ink.
    """
    tracing = tracing or TracingSection()
    picture = read_picture(path) if data is None else decode_picture(data, name=str(path))
    pixel, size_findings = true_pixel(picture, tracing)
    rows, columns = picture.grey.shape
    traced = trace_as_told(picture, pixel, tracing)
    page_size = (columns * pixel[0], rows * pixel[1])
    inked, _, askew = level_scan(traced.inked, page_size, tracing)
    return Artwork(
        inked=inked,
        page_size=page_size,
        name=Path(path).stem,
        tolerance=max(tracing.tolerance, FINEST_FIT * max(pixel)),
        findings=(*picture.findings, *size_findings, *askew, *traced.findings),
        # What is found is that the size is assumed, or doubtful.
        true_size=not size_findings,
    )


def trace_as_told(picture: Picture, pixel: tuple[float, float], tracing: TracingSection) -> TracedPicture:
    """Trace a picture by its colours where it has a few flat ones, else by its brightness, which then is told.

    ``pixel``: width and height of one, mm. Raises :class:`ArtworkError` when there is no ink.
    """
    flat = _trace_flat(picture, pixel, tracing)
    if flat is not None:
        return flat
    traced = trace_picture(picture.grey, pixel, tracing, name=picture.name)
    scan = "in a scan or photograph ink is told by brightness"
    if tracing.ink_by != "darkness":
        told = not_used(f"tracing.ink_by = {tracing.ink_by} is not used: {scan}", BY_BRIGHTNESS)
    elif tracing.ink_darker_than != DARKER_THAN:
        told = not_used(f"tracing.ink_darker_than is not used: {scan}", BY_BRIGHTNESS)
    else:
        return traced
    return replace(traced, findings=(told, *traced.findings))


def true_pixel(picture: Picture, tracing: TracingSection) -> tuple[tuple[float, float], tuple[Finding, ...]]:
    """Return the width and height of one pixel, mm, and what had to be assumed for it."""
    rows, columns = picture.grey.shape
    aspect = 1.0 if picture.dpi is None else picture.dpi[0] / picture.dpi[1]
    if tracing.width:
        across = tracing.width / columns
        return (across, across * aspect), ()
    if tracing.dpi:
        return (25.4 / tracing.dpi, 25.4 / tracing.dpi), ()
    dpi = picture.dpi or (ASSUMED_DPI, ASSUMED_DPI)
    pixel = (25.4 / dpi[0], 25.4 / dpi[1])
    size = f"{columns * pixel[0]:.4g} by {rows * pixel[1]:.4g} mm"
    remedy = "Give the resolution (tracing.dpi) or the true width (tracing.width)."
    if picture.dpi is None:
        message = f"The bitmap records no resolution; {ASSUMED_DPI:g} dpi is assumed, which makes it {size}."
        return pixel, (_finding("resolution assumed", "warns", message, remedy, ASSUMED_DPI, unit="1/in"),)
    if max(dpi) < 100:
        # 72 and 96 are what programs write when nobody has chosen; hardly any scan is so coarse.
        message = f"The bitmap records {dpi[0]:.4g} dpi, which makes it {size}; screens use that, scanners hardly."
        return pixel, (_finding("resolution doubtful", "notes", message, remedy, dpi[0], unit="1/in"),)
    return pixel, ()


def trace_picture(grey: Greys, pixel: tuple[float, float], tracing: TracingSection, *, name: str) -> TracedPicture:
    """Trace a picture's ink.

    ``grey``: (rows, columns) float32, 0 black to 1 white, top row first. ``pixel``: width and height of one, mm.
    ``name`` is said in messages. Raises :class:`ArtworkError` when there is no ink.
    """
    findings: list[Finding] = []
    if tracing.negative:
        grey = np.float32(1.0) - grey
    # In a photograph that falls off towards a side, the tones are the picture.
    lit = tracing.flatten_light and tracing.tone == "none" and not is_even(grey)
    if lit:
        grey, fall = flatten_light(grey)
        if fall:
            message = f"The light falls off by {percent(fall)} over the picture; it was evened out."
            remedy = "Scan it, or light it from two sides; or set tracing.flatten_light = false."
            findings.append(_finding("uneven light", "notes", message, remedy, fall, limit=0.03, unit=""))
    levels = find_levels(grey)
    if levels.contrast < LEAST_CONTRAST:
        raise ArtworkError(f"{name}: the picture is of one even tone, so it holds no ink; check the file")
    if tracing.tone != "none":
        screen = choose_screen(tracing)
        inked = screen_tones(_stretched(grey), pixel, screen)
        findings.append(screened_finding(screen))
    else:
        inked, specks = _trace_ink(grey, levels, pixel, tracing, name)
        inked, table = without_table(inked, grey, pixel) if lit else (inked, ())
        findings += table or _picture_findings(grey, levels, pixel)
        if specks:
            message = f"{specks} spots or pinholes under {tracing.dust:g} mm across were taken for dust and dropped."
            remedy = "If they belong to the drawing, make tracing.dust smaller."
            findings.append(_finding("specks dropped", "notes", message, remedy, float(specks), unit=""))
    if inked.is_empty:
        raise ArtworkError(
            f"{name}: no ink was found; if the drawing is light on dark, set tracing.negative = true, else try "
            "tracing.threshold = local or a level by hand"
        )
    return TracedPicture(inked, tuple(findings))


def _trace_flat(picture: Picture, pixel: tuple[float, float], tracing: TracingSection) -> TracedPicture | None:
    """Trace a picture of a few flat colours by which of them are ink; None when it is another picture.

    Black and white need no such care, and tones are screened.
    """
    if picture.colours is None or tracing.tone != "none" or tracing.negative:
        return None
    palette = find_palette(picture.colours)
    by_darkness = tracing.ink_by == "darkness"
    if palette is None or (len(palette.colours) < 3 and by_darkness and tracing.ink_darker_than == DARKER_THAN):
        return None
    inked = inked_colours(palette, tracing)
    if inked.all() or not inked.any():
        if by_darkness and tracing.ink_darker_than == DARKER_THAN:
            return None
        told = "; ".join(code_of(colour) for colour in palette.colours / 255.0)
        if inked.all():
            raise ArtworkError(f"{picture.name}: no paper: tracing has all its colours be ink, which are {told}")
        raise ArtworkError(f"{picture.name}: no ink: tracing has none of its colours be ink, which are {told}")
    rows = picture.grey.shape[0]
    boxes = [
        shapely.box(left * pixel[0], (rows - bottom) * pixel[1], right * pixel[0], (rows - top) * pixel[1])
        for left, top, right, bottom in boxes_of(picture.colours, palette)
    ]
    own = np.arange(len(inked)) != palette.paper
    areas = palette.shares * picture.grey.size * pixel[0] * pixel[1]
    findings = about_areas(boxes, areas, palette.colours / 255.0, inked, own)
    flat = replace(tracing, flatten_light=False, threshold="fixed", brightness=0.5)
    bright = inkness(picture.colours, palette, inked, find_mixtures(picture.colours, palette))
    traced = trace_picture(bright, pixel, flat, name=picture.name)
    return replace(traced, findings=(*findings, *traced.findings))


def _trace_ink(
    grey: Greys, levels: Levels, pixel: tuple[float, float], tracing: TracingSection, name: str
) -> tuple[MultiPolygon, int]:
    """Return ink, mm, and how many specks were dropped."""
    # Noise of less than 1 % of the contrast moves an edge by less than a hundredth of its blur's width.
    if measure_noise(grey) > 0.01 * levels.contrast:
        grey = smooth(grey)
    blur = measure_blur(grey, levels)
    amount = min(SHARPENING * (blur**2 - SHARP**2), MOST_SHARPENING)
    if amount > LEAST_SHARPENING:
        grey = sharpen(grey, amount)
    if tracing.threshold == "local":
        window = 2 * round(tracing.window / min(pixel) / 2) + 1
        window = max(3, min(window, 2 * max(grey.shape) - 1))
        height = grey - _local_level(grey, levels, window, tracing.darker_by)
    else:
        height = grey - np.float32(levels.edge if tracing.threshold == "global" else tracing.brightness)
    least_area = np.pi / 4 * tracing.dust**2 / (pixel[0] * pixel[1])
    inked = height < 0
    crisp = follows_pixels(grey, levels)
    if crisp:
        height = np.where(inked, np.float32(-0.5), np.float32(0.5))
    edges = np.count_nonzero(inked[1:] != inked[:-1]) + np.count_nonzero(inked[:, 1:] != inked[:, :-1])
    if edges > MOST_EDGES:
        raise ArtworkError(
            f"{name}: the picture is too busy to trace ({edges:,} places where ink meets paper; the limit is "
            f"{MOST_EDGES:,}); set tracing.tone for a photograph, or scale the picture down"
        )
    traced, specks = drop_specks(trace_contours(height), least_area)
    tolerance = max(tracing.tolerance / max(pixel), FINEST_FIT)
    # Without stairs, outlines are known finer than pixels are.
    spread = spread_evenly(without_stairs(traced), 0.5) if crisp else spread_evenly(traced)
    return as_regions(fit_curves(spread, tolerance), traced, pixel), specks


def _local_level(grey: Greys, levels: Levels, window: int, darker_by: float) -> Greys:
    """Return where edges lie by Sauvola's threshold, held above what is clearly ink.

    Inside a solid larger than the window all is as dark as its surroundings, and the formula alone would hollow it.
    """
    # The darkest half per cent is ink; the median of all that is dark may be that of a stain.
    darkest = min(levels.ink, float(np.percentile(_sampled(grey), 0.5)))
    clearly_ink = np.float32(darkest + 0.25 * (levels.paper - darkest))
    threshold = np.maximum(local_threshold(grey, window, darker_by), clearly_ink)
    return edge_levels(grey, threshold, window, 0.3 * levels.contrast)


def _stretched(grey: Greys) -> Greys:
    """Return tones stretched so that 1 % of the picture is solid and 1 % bare paper."""
    dark, bright = np.percentile(_sampled(grey), (1, 99))
    stretched = (grey - np.float32(dark)) / np.float32(max(bright - dark, LEAST_CONTRAST))
    return np.clip(stretched, 0.0, 1.0, out=stretched)


def _sampled(grey: Greys) -> Greys:
    """Return evenly spread pixels, about a million at the most: enough for shares and percentiles."""
    step = max(1, round((grey.size / 1e6) ** 0.5))
    return grey[::step, ::step]


def _picture_findings(grey: Greys, levels: Levels, pixel: tuple[float, float]) -> list[Finding]:
    findings = []
    sample = _sampled(grey)
    between = share_of_tones(sample, levels)
    inked = float((sample < levels.edge).mean())
    if levels.contrast < 0.25:
        message = f"Ink is darker than paper by only {percent(levels.contrast)} of the range from white to black."
        remedy = "Scan again with more contrast, or check the traced outline closely."
        findings.append(_finding("low contrast", "warns", message, remedy, levels.contrast, limit=0.25, unit=""))
    if between > MOST_TONES:
        message = (
            f"{percent(between)} of the picture are tones between ink and paper, as in a photograph; "
            "they are cut in two."
        )
        remedy = "Set tracing.tone = dots or lines to screen them."
        findings.append(_finding(TONES_IN_BITMAP, "warns", message, remedy, between, limit=MOST_TONES, unit=""))
    if inked > 0.6:
        message = f"{percent(inked)} of the picture are ink."
        remedy = "If the drawing is light on dark, set tracing.negative = true."
        findings.append(_finding("mostly ink", "warns", message, remedy, inked, limit=0.6, unit=""))
    if max(pixel) > 0.1:
        message = f"A pixel is {max(pixel):.2g} mm wide; lines finer than about {2 * max(pixel):.2g} mm are lost."
        remedy = "Scan at 300 dpi or more of the true size."
        findings.append(_finding("coarse bitmap", "notes", message, remedy, max(pixel), limit=0.1))
    return findings


def _finding(
    kind: str,
    severity: Severity,
    message: str,
    remedy: str,
    measured: float,
    *,
    limit: float | None = None,
    unit: str = "mm",
) -> Finding:
    return Finding(
        kind=kind,
        severity=severity,
        stage="artwork",
        message=message,
        remedy=remedy,
        measured=measured,
        limit=limit,
        unit=unit,
    )
