"""Real prints: the test die, scans beside their stamp or compared with it, and the sliced die before it is printed."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

from ..scene.drawn import as_image
from ..scene.nodes import new_matte
from ..scene.parts import write_mesh
from ..scene.stamps import collection_of
from ..scene.units import mm_per_unit
from ..stampwright.errors import PrintError
from ..stampwright.findings import Finding
from ..stampwright.job import Job
from ..stampwright.output.sheets.beads import beads_sketch
from ..stampwright.output.sketches.as_pixels import sketch_picture
from ..stampwright.plane.rasters.pictures import read_picture
from ..stampwright.plane.rasters.raster import MM_PER_INCH
from ..stampwright.prints.comparing import compare_prints, comparison_sketch
from ..stampwright.prints.testdie import write_test_die
from ..stampwright.stamp import Stamp
from ..stampwright.toolpaths import examine_toolpath, expected_of, read_gcode, told_of

if TYPE_CHECKING:
    from bpy.types import Image, Object, Scene

    from ..stampwright.memory import Progress

PIXELS = 1600
"""Width of a sheet that is drawn as an image."""

BESIDE = 12.0
"""Room between a stamp and the scan beside it, mm."""

LEAST_DPI = 100.0
"""Resolution under which what a picture records is what cameras and programs write unasked."""


@dataclass(frozen=True)
class Seen:
    """What was looked at: an image of it, lines that tell of it, and what was found, the gravest first."""

    image: Image
    told: tuple[str, ...]
    findings: tuple[Finding, ...]


def write_test(job: Job, folder: Path, *, size: float, overwrite: bool, tell: Progress) -> list[str]:
    """Write all files of a test die for a job's printer, ink and filament, and return their names.

    Raises :class:`PrintError` when its findings block it, and what the core's ``write_test_die`` raises.
    """
    stamp, written = write_test_die(job, folder, size=size, overwrite=overwrite, progress=tell)
    if written is None:
        kinds = ", ".join(sorted({finding.kind for finding in stamp.blocked}))
        raise PrintError(f"The test die is not written: {kinds}; change the printer's settings, or make it larger")
    return sorted(path.name for path in folder.iterdir())


def look_at_toolpath(root: Object, stamp: Stamp, path: Path, *, filament: float, volumetric: bool) -> Seen:
    """Return what the beads of a sliced die will print, held against the stamp.

    Raises :class:`~stampwright.errors.ToolpathError` when the file is no toolpath of a die.
    """
    expected = expected_of(stamp)
    examined = examine_toolpath(read_gcode(path, filament=filament, volumetric=volumetric), expected)
    told = told_of(examined, expected.material, spread=expected.spread)
    base = max(examined.base.geoms, key=lambda part: part.area)
    title = f"What the beads of {path.name} print"
    sheet = beads_sketch(examined.impression.outlines, base, examined.findings, told, title=title)
    return Seen(
        as_image(f"{root.name} beads", sketch_picture(sheet, columns=PIXELS)), tuple(told), tuple(examined.findings)
    )


def can_compare() -> bool:
    """Whether the library that finds prints in scans is there; Blender brings none."""
    return find_spec("cv2") is not None


def compare_with(root: Object, scans: Sequence[Path], folder: Path, stamp: Stamp | None = None) -> Seen:
    """Return prints in scans beside the stamp that a folder holds.

    ``stamp``: the same, where it is known: its art is then as given, where a folder of art that was drawn here keeps
    none. Raises what the core's ``compare_prints`` raises.
    """
    comparison = compare_prints(scans, folder, given=None if stamp is None else expected_of(stamp).given)
    drawn = sketch_picture(comparison_sketch(comparison), columns=PIXELS)
    told = f"Prints {comparison.in_words()}"
    return Seen(as_image(f"{root.name} comparison", drawn), (told,), tuple(comparison.findings))


def lay_beside(root: Object, path: Path, scene: Scene, *, width: float) -> tuple[Object, float]:
    """Lay a scan as a sheet beside everything of a stamp, at true size, and return it with its width, mm.

    ``width``: of what the picture shows, mm; 0 takes it from the scanner's resolution. Raises
    :class:`~stampwright.errors.StampwrightError` when the picture cannot be read, or nothing tells its size.
    """
    picture = read_picture(path)
    rows, columns = picture.grey.shape
    if width <= 0.0:
        if picture.dpi is None or min(picture.dpi) < LEAST_DPI:
            raise PrintError(f"{path.name} does not say how large it is: enter the width of what it shows, in mm")
        width = columns / picture.dpi[0] * MM_PER_INCH
    high = width * rows / columns
    unit = mm_per_unit(scene)
    image = bpy.data.images.load(str(path), check_existing=True)
    image.pack()
    name = f"{root.name} scan"
    mesh: Any = bpy.data.meshes.new(name)
    corners = np.array([(0, -high / 2, 0), (width, -high / 2, 0), (width, high / 2, 0), (0, high / 2, 0)]) / unit
    write_mesh(mesh, corners, np.array([(0, 1, 2), (0, 2, 3)]))
    layer = mesh.uv_layers.new(name="Scan")
    layer.data.foreach_set("uv", np.array([0, 0, 1, 0, 1, 1, 0, 0, 1, 1, 0, 1], dtype=np.float32))
    material, node = new_matte(name, "ShaderNodeTexImage")
    node.image = image
    mesh.materials.append(material)
    sheet = bpy.data.objects.new(name, mesh)
    sheet.parent = root
    sheet.location.x = _right_of(root) + BESIDE / unit
    collection_of(root).objects.link(sheet)
    return sheet, width


def _right_of(root: Object) -> float:
    """Return how far right all that hangs on a stamp reaches, in its own frame."""
    reach = [0.0]
    for child in root.children:
        if child.type == "MESH":
            reach += [(child.matrix_local @ vertex.co).x for vertex in child.data.vertices]
    return max(reach)


def scratch() -> Any:
    """Return a folder that goes when it is left."""
    return tempfile.TemporaryDirectory(prefix="stampwright-")
