"""3MF: all printed parts of a stamp in one file, each with its name and material, side by side on the bed.

Follows the 3MF Core Specification 1.4.0 (3MF Consortium): a ZIP archive with three XML parts.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

import numpy as np

from ...errors import OutputError
from ...job.materials import Material
from ...job.written.texts import as_line
from ...looks.colours import DIE_FILAMENT, HARD_FILAMENT
from ...plane.beds import BedPlace, arrange, cosine_and_sine
from ...solids.solid import Solid
from ..whole import write_file
from .numbers_written import decimal_letters, in_lines, whole_letters
from .threemf_blocks import TRIANGLE, VERTEX
from .writable import check_writable
from .zipped import PackedPiece, one_piece, piece_of, zipped

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
MODEL_TYPE = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
RELATIONSHIPS = "http://schemas.openxmlformats.org/package/2006/relationships"
MODEL_PATH = "3D/3dmodel.model"

_CONTENT_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>'
    "</Types>\n"
)
_ROOT_RELATIONSHIPS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    f'<Relationships xmlns="{RELATIONSHIPS}">'
    f'<Relationship Id="model" Type="{MODEL_TYPE}" Target="/{MODEL_PATH}"/>'
    "</Relationships>\n"
)

_LIGHTLY = 1
"""How hard places of vertices are packed: their digits seldom repeat, and looking for that takes twice the time."""

_APART = 20.0  # from bed to bed, mm, where parts need more than one

_FLEXIBLE, _HARD = (f"{colour.upper()}FF" for colour in (DIE_FILAMENT, HARD_FILAMENT))  # display colours, sRGB


BED = (220.0, 220.0)
"""Width and depth of a bed, mm, where none is told."""


@dataclass(frozen=True)
class PrintedPart:
    """One part as it goes to the printer: its solid, in printing position, and its filament, if that is known."""

    solid: Solid
    material: Material | None = None


Parts = Iterable[PrintedPart | Solid] | Mapping[str, Solid]
"""What is written into one file: parts with their filaments, or solids without, as they are or by name."""


def write_3mf(
    path: str | Path,
    parts: Parts,
    *,
    title: str = "",
    bed: tuple[float, float] = BED,
    brim: float = 0.0,
    overwrite: bool = False,
) -> None:
    """Write parts to one 3MF file, laid out side by side on a bed, mm, those without room there on beds to its right.

    ``parts``: solids as they are, or by name as :attr:`~stampwright.Stamp.parts` has them, or together with their
    filaments. ``bed``: width and depth, ``brim``: room round each part, mm. Raises
    :class:`~stampwright.errors.OutputError` when the file is there already (unless ``overwrite``) or cannot be written,
    or there is nothing in the parts; then nothing is left behind.
    """
    write_file(path, threemf_bytes(parts, title=title, bed=bed, brim=brim), overwrite=overwrite)


def threemf_bytes(
    parts: Parts,
    *,
    title: str = "",
    bed: tuple[float, float] = BED,
    brim: float = 0.0,
    packed: dict[Solid, PackedPiece] | None = None,
    spots: Sequence[BedPlace] | None = None,
) -> bytes:
    """Return parts as 3MF, mm; the same parts give the same bytes, with no time of day in them.

    ``packed``: what is kept between files of the same parts, so that each is put into words and packed once; give all
    of them the same dictionary. ``spots``: where each stands, where that is known; otherwise they are laid side by
    side. Raises :class:`~stampwright.errors.OutputError` when there is no part, or one without triangles.
    """
    printed = _printed(parts)
    spots = spots or lay_on_bed([part.solid for part in printed], bed, brim)
    model = tuple(_model(printed, title, spots, bed[0], {} if packed is None else packed))
    return zipped(
        (
            ("[Content_Types].xml", (piece_of(_CONTENT_TYPES.encode()),)),
            ("_rels/.rels", (piece_of(_ROOT_RELATIONSHIPS.encode()),)),
            (MODEL_PATH, model),
        )
    )


def lay_on_bed(solids: Sequence[Solid], bed: tuple[float, float], brim: float = 0.0) -> tuple[BedPlace, ...]:
    """Return where each solid stands on the bed, or on which one where they need several; see ``plane.beds``."""
    return arrange([solid.vertices[:, :2] for solid in solids], bed, brim)


def _printed(parts: Parts) -> list[PrintedPart]:
    """Return the parts, checked, those without a filament as well."""
    each = parts.values() if isinstance(parts, Mapping) else parts
    printed = [part if isinstance(part, PrintedPart) else PrintedPart(part) for part in each]
    if not printed:
        raise OutputError("there is no part to write; a 3MF file holds one at least")
    for part in printed:
        check_writable(part.solid)
    return printed


def _model(
    parts: Sequence[PrintedPart],
    title: str,
    spots: Sequence[BedPlace],
    bed_width: float,
    packed: dict[Solid, PackedPiece],
) -> Iterator[PackedPiece]:
    """Yield the model's XML; the meshes, which are nearly all of it, as pieces of their own."""
    words = ['<?xml version="1.0" encoding="UTF-8"?>\n', f'<model unit="millimeter" xml:lang="en-US" xmlns="{CORE}">\n']
    if title:
        words.append(f'<metadata name="Title">{escape(as_line(title))}</metadata>\n')
    words.append('<metadata name="Application">Stampwright</metadata>\n<resources>\n')
    materials = list(dict.fromkeys(part.material for part in parts if part.material is not None))
    if materials:
        words.append('<basematerials id="1">\n')
        for material in materials:
            colour = _FLEXIBLE if material.flexible else _HARD
            words.append(f'<base name={quoteattr(as_line(material.label))} displaycolor="{colour}"/>\n')
        words.append("</basematerials>\n")
    for number, part in enumerate(parts, start=2):
        made_of = f' pid="1" pindex="{materials.index(part.material)}"' if part.material is not None else ""
        name = quoteattr(as_line(part.solid.name))
        words.append(f'<object id="{number}" type="model" name={name}{made_of}>')
        yield piece_of("".join(words).encode())
        if part.solid not in packed:
            packed[part.solid] = packed_mesh(part.solid)
        yield packed[part.solid]
        words = ["</object>\n"]
    words.append("</resources>\n<build>\n")
    for number, (part, spot) in enumerate(zip(parts, spots, strict=True), start=2):
        cosine, sine = cosine_and_sine(spot.turn)
        x, down = spot.x + spot.bed * (bed_width + _APART), 0.0 - float(part.solid.bounds[0][2])
        # 3MF writes points as rows, so what turns them to the left stands transposed.
        turn = f"{cosine:.9g} {sine:.9g} 0 {0.0 - sine:.9g} {cosine:.9g} 0 0 0 1"
        words.append(f'<item objectid="{number}" transform="{turn} {x:.9g} {spot.y:.9g} {down:.9g}"/>\n')
    words.append("</build>\n</model>\n")
    yield piece_of("".join(words).encode())


def packed_mesh(solid: Solid) -> PackedPiece:
    """Return a solid's mesh as a 3MF file holds it, packed: what :func:`threemf_bytes` keeps between files."""
    # The file holds just what the STL files hold; adding zero makes negative zeros positive.
    points = solid.vertices.astype(np.float32) + np.float32(0.0)
    vertices = b"".join(in_lines(VERTEX, points, decimal_letters))
    triangles = b"".join(in_lines(TRIANGLE, solid.triangles, whole_letters))
    return one_piece(
        piece_of(b"<mesh>\n<vertices>\n" + vertices, _LIGHTLY),
        piece_of(b"</vertices>\n<triangles>\n" + triangles + b"</triangles>\n</mesh>"),
    )
