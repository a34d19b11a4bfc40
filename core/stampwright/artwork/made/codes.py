"""QR symbols and linear bar codes, drawn from what they say."""

from __future__ import annotations

import numpy as np
from shapely import affinity
from shapely.geometry import box

from ...errors import ArtworkError
from ...findings import Finding
from ...job.pieces import Barcode, QrCode
from ...plane.outlined.cells import cells_region
from ...plane.overlays import all_joined
from ...plane.regions import sound_parts
from ..artwork import Code
from ..letters import Letter
from .lettering import choose_font, set_piece
from .made import Made, Setup, letters_of

QUIET_QR = 4
"""Modules to be kept clear round a QR symbol (ISO/IEC 18004, quiet zone)."""

QUIET_BARS = {"code 128": (10, 10), "ean 13": (11, 7)}
"""Modules to be kept clear left and right of the bars (ISO/IEC 15417; GS1 General Specifications for EAN-13)."""

_MOST_CHARACTERS = 200
"""Characters of a linear bar code; more is wider than any hand stamp."""


def make_qr(piece: QrCode, _setup: Setup) -> Made:
    """Draw a QR symbol; modules that touch are one region.

    Raises :class:`~stampwright.errors.ArtworkError` when it has no text or more than fits.
    """
    if not piece.text:
        raise ArtworkError("qr.text is empty; give it something to say")
    # Loaded here, and below: most stamps have no code, and the start of the program is felt each time.
    import segno  # noqa: PLC0415

    try:
        symbol = segno.make(
            piece.text, error=piece.correction, version=piece.version or None, micro=False, boost_error=False
        )
    except (ValueError, LookupError) as error:
        largest = f"version {piece.version}" if piece.version else "any QR symbol"
        raise ArtworkError(
            f"qr: {len(piece.text)} characters with correction {piece.correction} do not fit into {largest}; shorten "
            "the text or lower the correction"
        ) from error
    matrix = np.array([list(row) for row in symbol.matrix], dtype=np.bool_)
    side = len(matrix)
    quiet = (side / 2 + QUIET_QR) * piece.module
    placed = (piece.module, 0.0, 0.0, piece.module, -side * piece.module / 2, -side * piece.module / 2)
    inked = sound_parts(affinity.affine_transform(cells_region(matrix[::-1]), placed))
    return Made(inked, (Code("qr", piece.module, box(-quiet, -quiet, quiet, quiet)),), plain=inked)


def make_barcode(piece: Barcode, setup: Setup) -> Made:
    """Draw a linear bar code, with its text below when asked.

    Raises :class:`~stampwright.errors.ArtworkError` when its text is none that the symbol can hold.
    """
    bars, said = encode_bars(piece.text, piece.symbology)
    matrix = np.array([[bar == "1" for bar in bars]], dtype=np.bool_)
    width = len(bars) * piece.module
    drawn = affinity.scale(cells_region(matrix), piece.module, piece.height, origin=(0, 0))
    inked = affinity.translate(drawn, -width / 2, -piece.height / 2)
    left, right = (modules * piece.module for modules in QUIET_BARS[piece.symbology])
    clear = box(-width / 2 - left, -piece.height / 2, width / 2 + right, piece.height / 2)
    findings: tuple[Finding, ...] = ()
    letters: list[Letter] = []
    if piece.readable:
        font, substituted = choose_font(piece, setup)
        line = set_piece(said, piece, font, setup)
        words = line.outlines
        if not words.is_empty:
            middle = (words.bounds[0] + words.bounds[2]) / 2
            below = -piece.height / 2 - max(piece.module, 0.3 * piece.cap_height) - words.bounds[3]
            inked = sound_parts(all_joined([inked, affinity.translate(words, -middle, below)]))
            letters = [letter.moved((1, 0, 0, 1, -middle, below)) for letter in letters_of(line)]
        findings = substituted + line.findings
    return Made(inked, (Code(piece.symbology, piece.module, clear),), findings, tuple(letters), plain=inked)


def encode_bars(text: str, symbology: str) -> tuple[str, str]:
    """Return a bar code's modules as 1 for ink and 0 for paper, and what it says in full, check digit included.

    Raises :class:`ArtworkError` for text that the symbology cannot say, or for a wrong check digit.

    >>> encode_bars("401234567890", "ean 13")[1]
    '4012345678901'
    """
    text = text.strip() if symbology == "ean 13" else text
    if not text or len(text) > _MOST_CHARACTERS:
        raise ArtworkError(f"barcode.text has {len(text)} characters; give it 1 to {_MOST_CHARACTERS}")
    if symbology == "ean 13" and not (text.isascii() and text.isdigit() and len(text) in (12, 13)):
        raise ArtworkError(f"barcode.text = {text!r} is no EAN-13: it takes 12 digits, or 13 with the check digit")
    from barcode import EAN13, Code128  # noqa: PLC0415
    from barcode.errors import BarcodeError  # noqa: PLC0415

    try:
        code = EAN13(text) if symbology == "ean 13" else Code128(text)
        bars, said = code.build()[0], code.get_fullcode()
    except BarcodeError as error:
        raise ArtworkError(f"barcode.text = {text!r}: {error}") from error
    if symbology == "ean 13" and len(text) == 13 and text != said:
        raise ArtworkError(f"barcode.text = {text!r} has the wrong check digit; it would be {said}")
    return bars, said
