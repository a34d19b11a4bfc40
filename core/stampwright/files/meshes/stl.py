"""STL: the triangles of one part, binary when written, binary or text when read."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ...errors import MeshFileError
from ...solids.columns import lengths_of, normals_of
from ...solids.solid import Solid
from ...solids.soundness import merge_equal
from ..whole import read_file, write_file
from .writable import check_writable

_HEADER = 80
_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
"""One facet of the binary form: 12 little-endian 32-bit floats and a 16-bit attribute that must be 0, 50 bytes."""

_VERTEX = re.compile(rb"\bvertex\s+(\S+)\s+(\S+)\s+(\S+)", re.IGNORECASE)


def write_stl(path: str | Path, solid: Solid, *, overwrite: bool = False) -> None:
    """Write one solid as a binary STL file, mm, in the position that the solid is in.

    Raises :class:`~stampwright.errors.OutputError` when the file is there already (unless ``overwrite``) or cannot be
    written, or the solid is empty; then nothing is left behind.
    """
    write_file(path, stl_bytes(solid), overwrite=overwrite)


def stl_bytes(solid: Solid) -> bytes:
    """Return a solid as binary STL: 84 bytes and 50 more for each triangle, normals reckoned from the corners.

    Raises :class:`~stampwright.errors.OutputError` when it has no triangles, or is none.

    >>> from stampwright.solids.solid import Solid
    >>> len(stl_bytes(Solid("one", np.eye(3), np.array([[0, 1, 2]]))))
    134
    """
    check_writable(solid)
    facets = np.zeros(len(solid.triangles), dtype=_FACET)
    rounded = solid.vertices.astype(np.float32)
    facets["corners"] = rounded[solid.triangles]
    normals = normals_of(rounded, solid.triangles)
    lengths = lengths_of(normals)
    # A triangle without area has none.
    lengths[lengths == 0.0] = np.inf
    for number, column in enumerate(normals):
        facets["normal"][:, number] = column / lengths
    # Readers take a file that begins with "solid" for text.
    header = f"Stampwright {solid.name}, lengths in mm".encode("ascii", "replace")[:_HEADER].ljust(_HEADER)
    return header + len(facets).to_bytes(4, "little") + facets.tobytes()


def read_stl(path: str | Path) -> Solid:
    """Read an STL file, binary or text, lengths taken as mm; corners at one place become one vertex.

    The triangles come back as the file has them, sound or not. Raises :class:`MeshFileError` when the file is missing,
    truncated, no STL, or holds numbers that are not finite.
    """
    path = Path(path)
    try:
        return stl_from(read_file(path), path.stem)
    except MeshFileError as error:
        told = str(error)
        raise MeshFileError(told if told.startswith(f"{path}: ") else f"{path}: {told}") from error


def stl_from(content: bytes, name: str, *, meant: Solid | None = None) -> Solid:
    """Return the solid in the bytes of an STL file, as :func:`read_stl` does; raises :class:`MeshFileError`.

    ``meant``: what the file should hold. Where all its corners are just that, its few vertices are made one instead of
    three corners for each triangle, which comes to the same; they then stay in its order.
    """
    corners = _read_corners(content)
    if not len(corners):
        raise MeshFileError("holds no triangles; export the part again")
    if not np.isfinite(corners).all():
        raise MeshFileError("holds coordinates that are not finite numbers; export it again")
    if meant is not None and _holds(corners, meant):
        vertices, triangles = meant.merged
    else:
        vertices, triangles = merge_equal(corners.reshape(-1, 3), np.arange(corners.size // 3).reshape(-1, 3))
    return Solid(name, vertices, triangles.astype(np.int32))


def _holds(corners: NDArray[np.float32], meant: Solid) -> bool:
    """Say whether corners of facets, (n, 3, 3), are those of a solid, none of whose vertices is left over."""
    used = np.zeros(len(meant.vertices), dtype=np.bool_)
    used[meant.triangles] = True
    return bool(used.all()) and np.array_equal(corners, meant.vertices.astype(np.float32)[meant.triangles])


def _read_corners(content: bytes) -> NDArray[np.float32]:
    """Return the corners of all facets, (n, 3, 3), mm."""
    if not content:
        raise MeshFileError("is empty; copy or export it again")
    start = _HEADER + 4
    count = int.from_bytes(content[_HEADER:start], "little")
    if len(content) >= start and len(content) == start + count * _FACET.itemsize:
        # The length settles it: some programs begin binary files with "solid" too.
        corners: NDArray[np.float32] = np.frombuffer(content, dtype=_FACET, offset=start)["corners"].copy()
        return corners
    if content[:512].lstrip()[:5].lower() == b"solid" and b"\0" not in content:
        return _read_text(content)
    if b"\0" not in content[: 4 * start]:
        # Binary files have noughts in the attributes of every facet; this is text, and none of an STL file.
        raise MeshFileError("is no STL file; name a part as .stl or .3mf")
    if count and start <= len(content) < start + count * _FACET.itemsize:
        whole = (len(content) - start) // _FACET.itemsize
        raise MeshFileError(f"is cut short: it names {count} triangles and holds {whole}; copy or export it again")
    raise MeshFileError("is no STL file: its length does not fit the number of triangles that it names")


def _read_text(content: bytes) -> NDArray[np.float32]:
    found = _VERTEX.findall(content)
    facets = len(re.findall(rb"\bfacet\s+normal\b", content, re.IGNORECASE))
    ends = len(re.findall(rb"\bendfacet\b", content, re.IGNORECASE))
    if not facets and not found:
        raise MeshFileError("holds no triangles; export the part again")
    if len(found) != 3 * facets or ends != facets or not re.search(rb"\bendsolid\b", content[-4096:], re.IGNORECASE):
        raise MeshFileError(f"is cut short or damaged near triangle {min(ends, len(found) // 3) + 1}; export it again")
    try:
        numbers = np.array(found, dtype=np.bytes_).astype(np.float64)
    except ValueError as error:
        raise MeshFileError(f"holds a vertex that is no number ({error}); export it again") from error
    with np.errstate(over="ignore"):
        return numbers.reshape(-1, 3, 3).astype(np.float32)
