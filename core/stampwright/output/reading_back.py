"""Mesh files read back before they are let in: every solid in them must be sound."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ..errors import ProofError
from ..files import read_3mf, read_file
from ..files.meshes.stl import stl_from
from ..files.meshes.threemf_blocks import KnownBlocks
from ..memory import Memory
from ..solids.solid import Solid
from ..solids.soundness import Soundness, judge_merged, merge_equal

_Mesh = tuple[NDArray[np.float64], NDArray[np.int64]]


@dataclass
class ReadBack:
    """What was read back so far: the verdict on all that is in files, by file and part, and the solids of STL files."""

    found: dict[str, dict[str, Soundness]] = field(default_factory=dict)
    solids: dict[str, Solid] = field(default_factory=dict)
    judged: list[tuple[_Mesh, Soundness]] = field(default_factory=list)


def read_parts(parts: Iterable[Path], memory: Memory) -> ReadBack:
    """Read STL files back, one part each.

    A file whose bytes are those that were read last under its name is not judged again. Raises
    :class:`~stampwright.errors.ProofError` when a solid is not sound.
    """
    back = ReadBack()
    for path in parts:
        solid, mesh, verdict = memory.beside(path.name).recall(judge_stl, read_file(path), path.stem)
        back.solids[path.name] = solid
        back.judged.append((mesh, verdict))
        back.found[path.name] = {solid.name: _sound(path.name, solid, verdict)}
    return back


def read_plates(plates: Iterable[Path], back: ReadBack) -> dict[str, dict[str, Soundness]]:
    """Read 3MF files back and return the verdict on all that is in them, by file and part.

    ``back``: the same parts as they were read from other files; what is the very same mesh is not judged again. Raises
    :class:`~stampwright.errors.ProofError` when a solid is not sound.
    """
    known: KnownBlocks = {}
    return {
        path.name: {solid.name: _sound(path.name, solid, _judged(solid, back.judged)) for solid in held}
        for path in plates
        for held in (read_3mf(path, known=known),)
    }


def judge_stl(content: bytes, name: str) -> tuple[Solid, _Mesh, Soundness]:
    """Return the solid in the bytes of an STL file, its mesh with equal corners as one, and the verdict on it."""
    solid = stl_from(content, name)
    mesh = merge_equal(solid.vertices, solid.triangles)
    return solid, mesh, judge_merged(*mesh)


def _judged(solid: Solid, judged: list[tuple[_Mesh, Soundness]]) -> Soundness:
    """Judge a solid, unless the very same mesh was judged before; each part is in two files."""
    vertices, triangles = merge_equal(solid.vertices, solid.triangles)
    for (known_vertices, known_triangles), verdict in judged:
        if np.array_equal(known_vertices, vertices) and np.array_equal(known_triangles, triangles):
            return verdict
    verdict = judge_merged(vertices, triangles)
    judged.append(((vertices, triangles), verdict))
    return verdict


def _sound(file: str, solid: Solid, verdict: Soundness) -> Soundness:
    if not verdict.sound:
        raise ProofError(
            f"{file}: the {solid.name} as written is no sound solid ({verdict.explain()}); nothing was kept. "
            "Simplify the artwork, or change the figure that was changed last"
        )
    return verdict
