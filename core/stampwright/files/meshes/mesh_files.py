"""Mesh files of either kind, told apart by what is in them."""

from __future__ import annotations

from os import PathLike
from pathlib import Path

from ...errors import MeshFileError
from ...solids.solid import Solid
from ..whole import read_file
from .stl import read_stl
from .threemf_reading import read_3mf


def read_mesh(path: str | PathLike[str], *, part: str = "die") -> Solid:
    """Read one solid from an STL or 3MF file, mm.

    From a 3MF file of several parts the one named ``part`` is taken. The mesh comes back as the file has it, sound or
    not. Raises :class:`MeshFileError` when the file cannot be read or has several parts and none of that name.
    """
    path = Path(path)
    if read_file(path)[:4] != b"PK\x03\x04":
        return read_stl(path)
    solids = read_3mf(path)
    named = [solid for solid in solids if solid.name == part]
    if len(named) == 1:
        return named[0]
    if len(solids) == 1:
        return solids[0]
    names = ", ".join(solid.name for solid in solids[:8])
    raise MeshFileError(f"{path}: holds {len(solids)} parts ({names}), not one named {part!r}; name the one to take")
