"""Composing: several pieces in their places, one printed over or cut out of the other, as one artwork."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from itertools import groupby
from pathlib import Path
from typing import Any

import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon

from ...errors import ArtworkError, JobError
from ...findings import Finding
from ...job.pieces import (
    Barcode,
    DateLine,
    Frame,
    Lettering,
    Mark,
    NumberLine,
    Piece,
    QrCode,
    Ring,
    RoundLettering,
    Rule,
    as_pieces,
    pieces_from_data,
    set_bolder,
)
from ...job.sections.tracing import TracingSection
from ...job.written.tables import parse_table, read_bytes, read_table
from ...plane.overlays import common, without
from ...plane.regions import sound_parts
from ..artwork import Artwork, check_fineness
from ..drawings import read_drawing
from ..fonts import MISSING_GLYPH, joined
from ..sources import SourceFile, Sources
from .codes import make_barcode, make_qr
from .entries import make_date, make_number
from .lettering import make_lettering, make_round_lettering
from .made import Made, Setup
from .meeting import code_findings, overlap_findings
from .ornaments import make_frame, make_ring, make_rule

PIECES_FORMAT = 1
"""Of pieces files; raised when a figure changes its meaning."""

MOST_PIECE_POINTS = 1_000_000
"""Outline points of all pieces together."""

_MAKERS: dict[type[Piece], Callable[[Any, Setup], Made]] = {
    Lettering: make_lettering,
    RoundLettering: make_round_lettering,
    Ring: make_ring,
    Rule: make_rule,
    Frame: make_frame,
    DateLine: make_date,
    NumberLine: make_number,
    QrCode: make_qr,
    Barcode: make_barcode,
}


def make_artwork(
    pieces: Iterable[Piece],
    *,
    name: str = "",
    page_size: tuple[float, float] | None = None,
    folder: str | Path = ".",
    tolerance: float = 0.005,
    fitted_to: float = 0.0,
) -> Artwork:
    """Make artwork from pieces, in their order.

    ``page_size``: width and height, mm, of a page with (0, 0) in its middle; None fits the page to ink and quiet
    zones. ``folder``: where files that pieces name are looked for. ``tolerance``: how far flattened curves may stray,
    mm; it holds at the page's own size and also when the longer side of the ink is enlarged to ``fitted_to`` mm.
    Raises :class:`ArtworkError` when a piece cannot be made or nothing prints, :class:`JobError` when one is no piece.
    """
    check_fineness(tolerance, fitted_to)
    pieces = as_pieces(pieces)
    artwork = _compose(pieces, name, page_size, Setup(Path(folder), tolerance))
    left, bottom, right, top = artwork.inked.bounds
    enlarged = fitted_to / max(right - left, top - bottom)
    if enlarged <= 1.0:
        return artwork
    return _compose(pieces, name, page_size, Setup(Path(folder), tolerance / enlarged))


def _compose(pieces: tuple[Piece, ...], name: str, page_size: tuple[float, float] | None, setup: Setup) -> Artwork:
    made = _make_all(pieces, setup)
    inked = MultiPolygon()
    for knock_out, group in groupby(made, key=lambda each: each[0].knock_out):
        layer = [one.inked for _, one in group]
        inked = sound_parts(without(inked, joined(layer)) if knock_out else joined([inked, *layer]))
    if inked.is_empty:
        missing = [finding.message for _, one in made for finding in one.findings if finding.kind == MISSING_GLYPH]
        if missing:
            raise ArtworkError(f"the pieces print nothing: {missing[0]} Name a font that has these characters")
        raise ArtworkError("the pieces print nothing; give at least one that is not knocked out")
    untouched = [one.inked if piece.plain else one.plain for piece, one in made if not piece.knock_out]
    plain = joined(untouched)
    if any(piece.knock_out for piece in pieces):
        plain = sound_parts(common(plain, inked))
    findings: list[Finding] = []
    for at, (_, one) in enumerate(made):
        # The same font may be missing for many pieces; once is enough.
        findings += [finding for finding in one.findings if finding not in findings]
        for code in one.codes:
            findings += code_findings(made, at, code.place, inked)
    findings += overlap_findings(made)
    codes = [code for _, one in made for code in one.codes]
    if page_size is None:
        left, bottom, right, top = shapely.total_bounds([inked, *[code.place for code in codes]])
    else:
        left, bottom, right, top = (half * side / 2 for half in (-1, 1) for side in page_size)
    shift = (1.0, 0.0, 0.0, 1.0, -float(left), -float(bottom))
    return Artwork(
        inked=sound_parts(affinity.affine_transform(inked, shift)),
        page_size=(float(right - left), float(top - bottom)),
        name=name,
        tolerance=setup.tolerance,
        findings=tuple(finding.moved(shift) for finding in findings),
        letters=tuple(letter.moved(shift) for _, one in made for letter in one.letters),
        codes=tuple(code.moved(shift) for code in codes),
        plain=sound_parts(affinity.affine_transform(plain, shift)),
        true_size=True,
        sources=Sources(named=tuple(SourceFile(name, data) for name, data in setup.read.items())),
    )


def make_patches(
    pieces: Iterable[Piece], *, folder: str | Path = ".", tolerance: float = 0.005
) -> dict[str, MultiPolygon]:
    """Return what pieces print in each ink that they name, where nothing covers it, mm, in the pieces' own frame.

    A piece covers what those of other inks print below it, and one that is knocked out cuts all of them. Raises as
    :func:`make_artwork` does.
    """
    seen: dict[str, MultiPolygon] = {}
    for piece, made in _make_all(as_pieces(pieces), Setup(Path(folder), tolerance)):
        for ink, region in list(seen.items()):
            if piece.knock_out or ink != piece.ink:
                seen[ink] = sound_parts(without(region, made.inked))
        if not piece.knock_out:
            seen[piece.ink] = sound_parts(joined([seen.get(piece.ink, MultiPolygon()), made.inked]))
    return {ink: region for ink, region in seen.items() if not region.is_empty}


def read_pieces(
    path: str | Path, *, tolerance: float = 0.005, fitted_to: float = 0.0, tracing: TracingSection | None = None
) -> Artwork:
    """Read a pieces file (TOML or JSON) and make its artwork.

    The file holds ``format``, and if wanted ``name``, ``width`` and ``height`` of the page, mm, and ``pieces``, a list
    of tables, each with its ``kind`` and figures; ``tolerance`` and ``fitted_to`` are as in :func:`make_artwork`,
    ``tracing`` says how text is set.
    Raises :class:`ArtworkError` when it is no such file or a piece cannot be made.
    """
    path = Path(path)
    try:
        data = read_bytes(path, "a pieces file")
        name, page_size, pieces = _parts_of(parse_table(data, path, "a pieces file"))
        if tracing is not None:
            pieces = set_bolder(pieces, tracing.text_weight, tracing.text_spacing)
        artwork = make_artwork(
            pieces,
            name=name or path.stem,
            page_size=page_size,
            folder=path.parent,
            tolerance=tolerance,
            fitted_to=fitted_to,
        )
        return replace(artwork, sources=replace(artwork.sources, file=SourceFile(str(path), data)))
    except (ArtworkError, JobError) as error:
        raise ArtworkError(f"{path}: {error}") from error


def name_of_pieces(path: str | Path) -> str:
    """Return the name that a pieces file gives itself, or nothing; raises :class:`ArtworkError` as reading it does."""
    return _parts_in_file(Path(path))[0]


def pieces_in_file(path: str | Path) -> tuple[Piece, ...]:
    """Return the pieces of a file; raises :class:`ArtworkError` as reading it does."""
    return _parts_in_file(Path(path))[2]


def _parts_in_file(path: Path) -> tuple[str, tuple[float, float] | None, tuple[Piece, ...]]:
    try:
        return _parts_of(read_table(path, "a pieces file"))
    except (ArtworkError, JobError) as error:
        raise ArtworkError(f"{path}: {error}") from error


def _parts_of(data: Any) -> tuple[str, tuple[float, float] | None, tuple[Piece, ...]]:
    if not isinstance(data, dict) or "pieces" not in data:
        raise ArtworkError("holds no pieces; write them as tables [[pieces]], each with its kind")
    unknown = set(data) - {"format", "name", "width", "height", "pieces"}
    if unknown:
        raise ArtworkError(
            f"{sorted(unknown)[0]!r} is nothing that a pieces file has; it takes format, name, width, height, pieces"
        )
    version = data.get("format", PIECES_FORMAT)
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise ArtworkError(f"format = {version!r} is not a format version; this program reads {PIECES_FORMAT}")
    if version > PIECES_FORMAT:
        raise ArtworkError(f"has format {version}, newer than this program's {PIECES_FORMAT}; update Stampwright")
    name = data.get("name", "")
    if not isinstance(name, str):
        raise ArtworkError(f"name = {name!r} is not text")
    sides = [data.get(side) for side in ("width", "height")]
    if sides == [None, None]:
        return name, None, pieces_from_data(data["pieces"])
    if not all(isinstance(side, int | float) and not isinstance(side, bool) and 1 <= side <= 1000 for side in sides):
        raise ArtworkError(f"width and height = {sides} are both needed, each from 1 to 1000 mm")
    return name, (float(sides[0] or 0), float(sides[1] or 0)), pieces_from_data(data["pieces"])


def _make_all(pieces: tuple[Piece, ...], setup: Setup) -> list[tuple[Piece, Made]]:
    made, points = [], 0
    for number, piece in enumerate(pieces, start=1):
        made.append(_make(piece, number, setup))
        points += shapely.get_num_coordinates(made[-1][1].inked)
        if points > MOST_PIECE_POINTS:
            raise ArtworkError(
                f"the first {number} pieces have {points} outline points; the limit is {MOST_PIECE_POINTS} "
                "(made.composing.MOST_PIECE_POINTS). Use fewer pieces or shorter text"
            )
    return made


def _make(piece: Piece, number: int, setup: Setup) -> tuple[Piece, Made]:
    try:
        made = _make_mark(piece, setup) if isinstance(piece, Mark) else _MAKERS[type(piece)](piece, setup)
    except ArtworkError as error:
        raise ArtworkError(f"piece {number} ({piece.kind}): {error}") from error
    return piece, made.moved(piece.x, piece.y, piece.turn)


def _make_mark(piece: Mark, setup: Setup) -> Made:
    path = setup.folder / piece.file
    if path.suffix.lower() in (".toml", ".json"):
        raise ArtworkError(f"{path}: a mark is drawn or scanned artwork; put the other file's pieces into this one")
    artwork = read_drawing(path, tolerance=setup.tolerance)
    if artwork.sources.file is not None:
        setup.read[piece.file] = artwork.sources.file.data
    left, bottom, right, top = artwork.inked.bounds
    across = piece.width / (right - left) if piece.width else None
    up = piece.height / (top - bottom) if piece.height else None
    across, up = across or up or 1.0, up or across or 1.0
    middle = ((left + right) / 2, (bottom + top) / 2)
    matrix = (across, 0.0, 0.0, up, -across * middle[0], -up * middle[1])
    drawn = Made(artwork.inked, artwork.codes, artwork.findings, artwork.letters, artwork.plain)
    return drawn.through(matrix)
