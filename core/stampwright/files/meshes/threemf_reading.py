"""Reading 3MF: meshes out of files that anybody may have made, within bounds."""

from __future__ import annotations

import io
import posixpath
import zipfile
import zlib
from array import array
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import IO
from xml.parsers import expat

import numpy as np
from numpy.typing import NDArray

from ...errors import MeshFileError
from ...solids.solid import Solid
from ..whole import read_file
from .threemf import CORE, MODEL_TYPE
from .threemf_blocks import Block, BlockNumbers, Known, ReadMesh, Taken, take_blocks
from .zipped import PackedPiece, unzipped

LARGEST_MODEL = 1_000_000_000
"""Bytes of XML, unpacked; a packed file can claim any size."""

LARGEST_BY_BLOCKS = 200_000_000
"""Bytes of XML up to which a model is held whole to be read by blocks."""

MOST_TRIANGLES = 20_000_000

_UNITS = {"micron": 0.001, "millimeter": 1.0, "centimeter": 10.0, "inch": 25.4, "foot": 304.8, "meter": 1000.0}  # mm

_HARMLESS = {"http://schemas.microsoft.com/3dmanufacturing/material/2015/02"}
"""Extensions that a file may require and that leave the geometry as it is."""

_COMPONENT_COST = 1000
"""Triangles that a component counts for on top of its own: objects nested in objects multiply without any."""

_CHUNK = 1 << 20
_VERTEX, _TRIANGLE = f"{CORE} vertex", f"{CORE} triangle"


@dataclass
class _Object:
    """One object being read: a mesh of its own, or other objects moved, each by a (4, 3) matrix."""

    name: str
    points: array[float] = field(default_factory=lambda: array("d"))
    corners: array[int] = field(default_factory=lambda: array("q"))
    components: list[tuple[str, NDArray[np.float64]]] = field(default_factory=list)
    triangles: int = 0
    blocks: dict[str, BlockNumbers] = field(default_factory=dict)

    @property
    def vertices(self) -> NDArray[np.float64]:
        """Its vertices, (n, 3), in the file's unit."""
        return np.asarray(self.blocks.get("vertices", np.array(self.points).reshape(-1, 3)))

    @property
    def faces(self) -> NDArray[np.int64]:
        """Its triangles, (m, 3)."""
        return np.asarray(self.blocks.get("triangles", np.array(self.corners, dtype=np.int64).reshape(-1, 3)))

    @property
    def in_blocks(self) -> bool:
        """Whether what came in blocks is all there is of its kind."""
        return not ("vertices" in self.blocks and self.points) and not ("triangles" in self.blocks and self.corners)


def read_3mf(path: str | Path, *, known: Known | None = None) -> tuple[Solid, ...]:
    """Read every item that a 3MF file would print, in mm, turned and scaled as the file says.

    Where an item lies on the bed says nothing about the part, so it stays about its own origin. The meshes come back
    as the file has them, sound or not. ``known``: what is kept between files of the same parts, so that each part is
    read once; give all of them the same. Raises :class:`MeshFileError` when the file is missing, damaged,
    no 3MF, needs an extension that moves geometry elsewhere, or is larger than any stamp's.
    """
    path = Path(path)
    try:
        return _solids(read_file(path), path.stem, known or Known())
    except MeshFileError as error:
        message = str(error)
        raise MeshFileError(message if message.startswith(str(path)) else f"{path}: {message}") from error


def _solids(content: bytes, stem: str, known: Known) -> tuple[Solid, ...]:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            start = _StartReader()
            _parse(archive, "_rels/.rels", start)
            if start.target is None:
                raise MeshFileError("is no 3MF file: nothing in it says where its model is")
            model = posixpath.normpath(start.target.lstrip("/"))
            reader = _read_blocks(archive, content, model, known)
            if reader is None:
                reader = _ModelReader()
                _parse(archive, model, reader)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError, ValueError) as error:
        raise MeshFileError(f"is damaged or no 3MF file ({error}); copy or export it again") from error
    if not reader.items:
        raise MeshFileError("holds nothing to print: its build names no item")
    solids = []
    for identity, matrix in reader.items:
        vertices, triangles = _known_mesh(reader.objects, identity, matrix, known)
        if not len(triangles):
            raise MeshFileError("holds an item without triangles; export it again")
        solids.append(Solid(reader.objects[identity].name or stem, vertices, triangles))
    return tuple(solids)


def _read_blocks(archive: zipfile.ZipFile, content: bytes, name: str, known: Known) -> _ModelReader | None:
    """Return a model read by blocks, several times as fast; None for one that is not all in the form written here.

    ``content``: the bytes of the archive. Whatever is wrong with a model is told by reading it element by element.
    """
    if name not in archive.namelist() or archive.getinfo(name).file_size > LARGEST_BY_BLOCKS:
        return None
    taken = _taken_by_pieces(archive.getinfo(name), content, known)
    if taken is None:
        with archive.open(name) as part:
            model = part.read(LARGEST_BY_BLOCKS + 1)
        taken = take_blocks(model) if len(model) <= LARGEST_BY_BLOCKS else None
    if taken is None:
        return None
    rest, blocks = taken
    if not blocks:
        return None
    reader = _ModelReader(blocks)
    parser = _parser(reader)
    try:
        parser.Parse(rest, True)
    except (expat.ExpatError, MeshFileError):
        return None
    return reader if reader.has_all_blocks else None


def _taken_by_pieces(entry: zipfile.ZipInfo, content: bytes, known: Known) -> Taken | None:
    """Return a model's blocks from the pieces that it is known to be of, each of which is read once for all files."""
    parts = unzipped(content, entry, known.pieces, known.taken) if known.pieces else None
    if parts is None:
        return None
    taken: list[Taken] = []
    for part in parts:
        if isinstance(part, PackedPiece) and part not in known.taken:
            known.taken[part] = take_blocks(part.plain)
        of_part = take_blocks(part) if isinstance(part, bytes) else known.taken[part]
        if of_part is None:
            return None
        taken.append(of_part)
    return b"".join(rest for rest, _ in taken), [block for _, blocks in taken for block in blocks]


def _parse(archive: zipfile.ZipFile, name: str, reader: _StartReader | _ModelReader) -> None:
    """Feed one part of the package to a reader piece by piece, never more than ``LARGEST_MODEL`` bytes."""
    try:
        info = archive.getinfo(name)
    except KeyError as error:
        raise MeshFileError(f"is no 3MF file: {name} is not in it") from error
    parser = _parser(reader)
    with archive.open(info) as part:
        try:
            _feed(parser, part)
        except expat.ExpatError as error:
            raise MeshFileError(f"{name} is damaged ({error}); export it again") from error


def _parser(reader: _StartReader | _ModelReader) -> expat.XMLParserType:
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.StartElementHandler = reader.start
    parser.StartDoctypeDeclHandler = _refuse_doctype
    if isinstance(reader, _ModelReader):
        parser.StartNamespaceDeclHandler = reader.declare
    return parser


def _feed(parser: expat.XMLParserType, part: IO[bytes]) -> None:
    size = 0
    while piece := part.read(_CHUNK):
        size += len(piece)
        if size > LARGEST_MODEL:
            raise MeshFileError(f"unpacks to more than {LARGEST_MODEL // 1_000_000} MB; this is no stamp's file")
        parser.Parse(piece, False)
    parser.Parse(b"", True)


def _refuse_doctype(*_: object) -> None:
    raise MeshFileError("has a document type declaration, which 3MF forbids; export it again")


class _StartReader:
    """Finds the model that the package starts with."""

    def __init__(self) -> None:
        self.target: str | None = None

    def start(self, name: str, about: dict[str, str]) -> None:
        """Take one element in."""
        if name.endswith(" Relationship") and about.get("Type") == MODEL_TYPE:
            self.target = about.get("Target", "")


class _ModelReader:
    """Gathers objects and items as their elements go by."""

    def __init__(self, blocks: Sequence[Block] = ()) -> None:
        """Take ``blocks``: what was taken out of the model before, in the order of their elements."""
        self._blocks = list(reversed(blocks))
        self.objects: dict[str, _Object] = {}
        self.items: list[tuple[str, NDArray[np.float64]]] = []
        self._scale = 1.0
        self._prefixes: dict[str, str] = {}
        self._open = _Object("")
        self._closed: _Object | None = None
        self._points, self._corners = self._open.points, self._open.corners
        self._total = 0
        self._takers: dict[str, Callable[[dict[str, str]], None]] = {
            f"{CORE} model": self._model,
            f"{CORE} object": self._object,
            f"{CORE} component": self._component,
            f"{CORE} item": self._item,
        }
        if blocks:
            self._takers |= {f"{CORE} {kind}": partial(self._block, kind) for kind in ("vertices", "triangles")}

    @property
    def has_all_blocks(self) -> bool:
        """Whether every block that was taken out has gone to its element."""
        return not self._blocks and all(held.in_blocks for held in self.objects.values())

    def declare(self, prefix: str | None, uri: str | None) -> None:
        """Remember what a prefix stands for."""
        self._prefixes[prefix or ""] = uri or ""

    def start(self, name: str, about: dict[str, str]) -> None:
        """Take one element in; elements of extensions go by unread."""
        try:
            # Nearly all elements are of these two kinds; they come first, and with as little ado as can be.
            if name == _VERTEX:
                self._points.extend((float(about["x"]), float(about["y"]), float(about["z"])))
            elif name == _TRIANGLE:
                self._corners.extend((int(about["v1"]), int(about["v2"]), int(about["v3"])))
            elif name in self._takers:
                self._takers[name](about)
        except KeyError as error:
            raise MeshFileError(f"lacks {error} in a {_tag(name)}; export it again") from error
        except (ValueError, OverflowError) as error:
            raise MeshFileError(f"holds a {_tag(name)} that is no number ({error}); export it again") from error

    def _block(self, kind: str, _about: dict[str, str]) -> None:
        free = self._closed is not self._open and kind not in self._open.blocks
        if not self._blocks or self._blocks[-1].kind != kind or not free:
            raise MeshFileError(f"has {kind} in another form")
        self._open.blocks[kind] = self._blocks.pop().numbers

    def _object(self, about: dict[str, str]) -> None:
        self._close()
        self._open = self.objects[about["id"]] = _Object(about.get("name", ""))
        self._points, self._corners = self._open.points, self._open.corners

    def _close(self) -> None:
        """Count what the object before held, now that all of it has gone by."""
        taken = 0 if self._closed is self._open else len(self._open.blocks.get("triangles", ()))
        self._count(len(self._corners) // 3 + taken)
        self._corners, self._closed = array("q"), self._open

    def _model(self, about: dict[str, str]) -> None:
        unit = about.get("unit", "millimeter")
        if unit not in _UNITS:
            raise MeshFileError(f"gives lengths in {unit!r}, which is no unit of 3MF; export it in millimetres")
        self._scale = _UNITS[unit]
        for prefix in about.get("requiredextensions", "").split():
            if self._prefixes.get(prefix) not in _HARMLESS:
                raise MeshFileError(f"needs the 3MF extension {prefix!r}, which is not read; export it as plain 3MF")

    def _component(self, about: dict[str, str]) -> None:
        part = self._known(about["objectid"])
        if part is self._open:
            raise MeshFileError("holds an object that is part of itself; export it again")
        self._open.components.append((about["objectid"], _matrix(about)))
        self._count(part.triangles + _COMPONENT_COST)

    def _item(self, about: dict[str, str]) -> None:
        self._close()
        self._total += self._known(about["objectid"]).triangles
        matrix = _matrix(about) * self._scale
        matrix[3] = 0.0
        self.items.append((about["objectid"], matrix))
        self._count(0)

    def _known(self, identity: str) -> _Object:
        if identity not in self.objects:
            raise MeshFileError(f"names object {identity} before it is there; export it again")
        return self.objects[identity]

    def _count(self, more: int) -> None:
        self._open.triangles += more
        if max(self._open.triangles, self._total) > MOST_TRIANGLES:
            raise MeshFileError(f"holds more than {MOST_TRIANGLES} triangles; export it with fewer")


def _tag(name: str) -> str:
    return name.rpartition(" ")[2]


def _matrix(about: dict[str, str]) -> NDArray[np.float64]:
    """Return a transform as a (4, 3) matrix that points, as rows, are multiplied by; the last row moves them."""
    if "transform" not in about:
        return np.eye(4)[:, :3]
    numbers = [float(number) for number in about["transform"].split()]
    if len(numbers) != 12:
        raise ValueError("a transform takes 12 numbers")
    return np.array(numbers).reshape(4, 3)


def _known_mesh(objects: dict[str, _Object], identity: str, matrix: NDArray[np.float64], known: Known) -> ReadMesh:
    """Return an item's mesh as :func:`_gathered` does, the very one that came of the same blocks before."""
    blocks = objects[identity].blocks
    if len(blocks) < 2 or objects[identity].components:
        return _gathered(objects, identity, matrix)
    key = id(blocks["vertices"]), id(blocks["triangles"]), matrix.tobytes()
    if key not in known.meshes:
        known.meshes[key] = _gathered(objects, identity, matrix)
    return known.meshes[key]


def _gathered(objects: dict[str, _Object], identity: str, matrix: NDArray[np.float64]) -> ReadMesh:
    """Return an item's vertices, (n, 3) mm, and triangles, (m, 3), out of all the objects it is made of."""
    points: list[NDArray[np.float64]] = []
    corners: list[NDArray[np.int64]] = []
    known = 0
    waiting = [(identity, matrix)]
    while waiting:
        identity, matrix = waiting.pop()
        part = objects[identity]
        own, triangles = part.vertices, part.faces
        if triangles.size and not 0 <= triangles.min() <= triangles.max() < len(own):
            raise MeshFileError("holds triangles that name vertices which are not there; export it again")
        own = own @ matrix[:3] + matrix[3]
        if not np.isfinite(own).all():
            raise MeshFileError("holds coordinates that are not finite numbers; export it again")
        mirrored = np.linalg.det(matrix[:3]) < 0
        points.append(own)
        corners.append((triangles[:, ::-1] if mirrored else triangles) + known)
        known += len(own)
        for component, moved in part.components:
            onward = moved @ matrix[:3]
            onward[3] += matrix[3]
            waiting.append((component, onward))
    return np.vstack(points), np.vstack(corners).astype(np.int32)
