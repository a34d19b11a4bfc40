"""Mesh files read back before they are let in: every solid in them must be sound."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from ..errors import ProofError
from ..files import read_3mf, read_file
from ..files.meshes.stl import stl_from
from ..files.meshes.threemf_blocks import Known
from ..files.meshes.zipped import PackedPiece
from ..memory import Memory
from ..solids.solid import Solid
from ..solids.soundness import Soundness, judge_merged, merge_equal


@dataclass
class ReadBack:
    """What was read back so far: the verdict on all that is in files, by file and part, and the solids of STL files."""

    found: dict[str, dict[str, Soundness]] = field(default_factory=dict)
    solids: dict[str, Solid] = field(default_factory=dict)
    judged: list[tuple[Solid, Soundness]] = field(default_factory=list)


def read_parts(parts: Mapping[Path, Solid], memory: Memory) -> ReadBack:
    """Read STL files back, one part each; ``parts``: what each should hold.

    A file whose bytes are those that were read last under its name is not judged again. Raises
    :class:`~stampwright.errors.ProofError` when a solid is not sound.
    """
    back = ReadBack()
    for path, meant in parts.items():
        solid, verdict = memory.beside(path.name).recall(judge_stl, read_file(path), path.stem, meant)
        back.solids[path.name] = solid
        back.judged.append((solid, verdict))
        back.found[path.name] = {solid.name: _sound(path.name, solid, verdict)}
    return back


def read_plates(
    plates: Iterable[Path], back: ReadBack, pieces: Collection[PackedPiece] = ()
) -> dict[str, dict[str, Soundness]]:
    """Read 3MF files back and return the verdict on all that is in them, by file and part.

    ``back``: the same parts as they were read from other files; what is the very same mesh is not judged again.
    ``pieces``: what was packed for the files; those that are found in several are read once. Raises
    :class:`~stampwright.errors.ProofError` when a solid is not sound.
    """
    known = Known(pieces)
    return {
        path.name: {solid.name: _sound(path.name, solid, _judged(solid, back.judged)) for solid in held}
        for path in plates
        for held in (read_3mf(path, known=known),)
    }


def judge_stl(content: bytes, name: str, meant: Solid) -> tuple[Solid, Soundness]:
    """Return the solid in the bytes of an STL file, in which equal corners are one, and the verdict on it.

    ``meant``: what the file should hold; as in :func:`~stampwright.files.meshes.stl.stl_from`, it only spares work:
    where every corner in the file is just that, the verdict on it is that on the file.
    """
    solid = stl_from(content, name, meant=meant)
    same = solid.vertices is meant.merged[0]
    return solid, meant.soundness if same else judge_merged(solid.vertices, solid.triangles)


def _judged(solid: Solid, judged: list[tuple[Solid, Soundness]]) -> Soundness:
    """Judge a solid, unless the very same mesh was judged before; each part is in two files and more."""
    for known, verdict in judged:
        if known.vertices is solid.vertices and known.triangles is solid.triangles:
            return verdict
    vertices, triangles = merge_equal(solid.vertices, solid.triangles)
    verdict = next(
        (
            verdict
            for known, verdict in judged
            if np.array_equal(known.vertices, vertices) and np.array_equal(known.triangles, triangles)
        ),
        None,
    ) or judge_merged(vertices, triangles)
    judged.append((solid, verdict))
    return verdict


def _sound(file: str, solid: Solid, verdict: Soundness) -> Soundness:
    if not verdict.sound:
        raise ProofError(
            f"{file}: the {solid.name} as written is no sound solid ({verdict.explain()}); nothing was kept. "
            "Simplify the artwork, or change the figure that was changed last"
        )
    return verdict
