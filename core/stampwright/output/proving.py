"""The proof from the file: the die that was read back, pressed, against what was built and the art as given."""

from __future__ import annotations

from dataclasses import replace

from ..errors import ProofError
from ..face import HAIR, SurfaceProof, TexturedFace, prove_surface
from ..findings import blocking, by_severity
from ..job.heights import snap_heights
from ..likeness import PRINT_KINDS, Likeness, judge_by_art, liken, unchanged
from ..preflight import PrintLimits
from ..press import (
    Comparison,
    Impression,
    PressedFace,
    compare,
    find_face,
    impress_uneven,
    ink_face,
    ink_of,
    spread_ink,
    stated_conditions,
)
from ..press.impressing import PICTURE_DPI, TOUCH
from ..solids.solid import Solid
from ..stamp import Stamp

DIE = "die.stl"

LEAST_IOU = 0.99
"""Intersection over union of impression and artwork, below which a stamp is not what was asked for."""


class BlockedInPrintError(Exception):
    """What a stamp prints keeps it from being made: told once its die was written, and not before."""

    def __init__(self, stamp: Stamp) -> None:
        """Keep the ``stamp``, pressed and judged."""
        super().__init__()
        self.stamp = stamp


def prove_face(stamp: Stamp, die: Solid) -> tuple[PressedFace, Comparison]:
    """Return the face of the die that was read back, and the likeness of its outlines to those that were built.

    Raises :class:`~stampwright.errors.ProofError` when it prints something else.
    """
    if stamp.face is None:
        depth = snap_heights(stamp.job).dressing
    else:
        # The edge of a textured face is whole only below the deepest texture.
        depth = stamp.face.dense.depth + HAIR / 2 - stamp.face.figures.highest
    face = find_face(die, depth=depth, dpi=PICTURE_DPI)
    comparison = compare(face.outlines, stamp.outlines, dpi=PICTURE_DPI)
    if comparison.worst < LEAST_IOU:
        raise ProofError(
            f"{DIE}: the die as written does not print the artwork (intersection over union {comparison.worst:.4f}, "
            f"least {LEAST_IOU:g}; {comparison.missing:.2f} mm² missing, {comparison.stray:.2f} mm² too much); nothing "
            "was kept. Make the artwork larger or its lines broader"
        )
    return face, comparison


def liken_to_built(face: PressedFace, stamp: Stamp, comparison: Comparison) -> Likeness:
    """Return what the outlines of a face have of those that were built, part by part."""
    return unchanged(stamp.outlines) if comparison.same else liken(face.outlines, stamp.outlines)


def judge_written(stamp: Stamp, die: Solid, face: PressedFace) -> Stamp:
    """Return the stamp with what the die that was read back prints, judged by the art as given.

    Raises :class:`~stampwright.errors.ProofError` where that blocks and did not before the die was written,
    :class:`BlockedInPrintError` where it was not judged before.
    """
    impression = _impression(stamp, die, face)
    told = (finding for finding in impression.findings if finding not in stamp.findings)
    stamp = replace(stamp, impression=impression, findings=by_severity((*stamp.findings, *told)))
    if stamp.given is None:
        return stamp
    job, before = stamp.job, stamp.judgement
    # A textured face is meant to print light where it lies low; its outlines show what it has of the art.
    printed = impression.outlines if stamp.face is None else spread_ink(face.outlines, job.ink.spread)
    limits = PrintLimits.of(job.preflight, job.ink, job.printer)
    judgement = judge_by_art(printed, stamp.given, limits, job.preflight.accept, screen=stamp.screened)
    others = (finding for finding in stamp.findings if finding.kind not in PRINT_KINDS)
    stamp = replace(stamp, judgement=judgement, findings=by_severity((*others, *judgement.findings)))
    blocks = blocking(judgement.findings)
    if blocks and before is None:
        raise BlockedInPrintError(stamp)
    if blocks:
        raise ProofError(
            f"{DIE}: the die as written does not read as the art that was given: {blocks[0].message}"
            + (f", and {len(blocks) - 1} more" if len(blocks) > 1 else "")
            + "; nothing was kept. Enlarge the artwork, or accept it (preflight.accept)"
        )
    return stamp


def prove_texture(stamp: Stamp, die: Solid) -> SurfaceProof | None:
    """Return how far the textured face that was read back lies off its maps; None for a plain one.

    Raises :class:`~stampwright.errors.ProofError` when that is too far.
    """
    if stamp.face is None:
        return None
    proof = prove_surface(die, stamp.face.dense, stamp.outlines)
    if not proof.holds:
        x, y = proof.at
        raise ProofError(
            f"{DIE}: the textured face as written lies {proof.worst:.3f} mm off its height map at {x:.1f}, {y:.1f} mm "
            f"(of {proof.points} points); nothing was kept. Sculpt or texture the face less steeply there"
        )
    return proof


def _impression(stamp: Stamp, die: Solid, face: PressedFace) -> Impression:
    """Return what the die that was read back prints: an even face its outlines, a textured one what the push gives."""
    if stamp.face is None:
        return ink_face(face, spread=stamp.job.ink.spread, dpi=PICTURE_DPI)
    job, allowance = stamp.job, stamp.face.figures.allowance
    return impress_uneven(
        die,
        stamp.outlines,
        stated_conditions(job),
        ink_of(job.ink),
        allowance=allowance,
        taken=allowance * job.press.dressed,
    )


def lands(face: TexturedFace, die: Solid) -> PressedFace:
    """Return what of a textured face stands once it is dressed: that is what a push can be expected to print whole."""
    return find_face(die, depth=face.figures.allowance or TOUCH, dpi=PICTURE_DPI)
