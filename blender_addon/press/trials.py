"""From a stamp to its trial on paper, and from the trial to the scene: sheet, pressure and push curve."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

from ..scene.drawn import as_image, in_colour
from ..scene.impression import show_impression
from ..scene.nodes import new_matte
from ..scene.parts import PRESSURE, own_mesh, remove_child, remove_values, write_mesh, write_values
from ..scene.stamps import collection_of, edited_part, part_of
from ..scene.units import mm_per_unit
from ..stampwright.curved import Bend, laid_round
from ..stampwright.files import png_bytes
from ..stampwright.findings import Finding
from ..stampwright.looks.numbers import spoken
from ..stampwright.memory import Memory
from ..stampwright.output import push_curve_page, push_curve_panel
from ..stampwright.parts import REGIONS, mark_regions, snap_heights
from ..stampwright.press import Impression, PressureMap, Trial, map_pressure, pressure_on, try_on_paper
from ..stampwright.press.pressing_figures import notable
from ..stampwright.stamp import Stamp
from ..translations import said

if TYPE_CHECKING:
    from bpy.types import Image, Object, Scene

PRESSURE_LAYER = "Pressure"
"""Name of that sheet's colours, and of its material."""

SHEET_LIFT = 0.4
"""How far that sheet lies over the face, mm, so that it is seen. In a scene in metres a view from above with the host's
own clipping, 1000 m to both sides of what is looked at, tells depths 0.12 mm apart: 24 bits over 2000 m."""

PANEL_PIXELS, PAGE_PIXELS = 480, 1600
"""Width of the push curve in the panel, and as an image."""


def pressed_by(stamp: Stamp) -> tuple[Any, ...]:
    """Return all of a stamp that its trial hangs on; equal beginnings give equal trials."""
    job = stamp.job
    sections = (job.base, job.bend, job.die, job.backing, job.cushion, job.handle, job.printer, job.ink, job.press)
    return (stamp.pressed, stamp.inked, *sections)


def press(stamp: Stamp, memory: Memory, *, full: bool, pressure: bool, progress: Callable[[str, float], None]) -> Trial:
    """Try a stamp on paper; touches nothing of Blender's, so that it may run beside it.

    What is to be shown of the trial is got ready in ``memory``, ``pressure`` saying whether its map is. Of a textured
    face, what stands once it is dressed is expected to print. Raises :class:`StampwrightError`, and whatever
    ``progress`` raises.
    """
    if stamp.face is None:
        meant, allowance = stamp.outlines, snap_heights(stamp.job).dressing
    else:
        meant, allowance = None, stamp.face.figures.allowance
    trial = try_on_paper(
        stamp.job,
        stamp.pressed,
        stamp.inked,
        meant=meant,
        allowance=allowance,
        full=full,
        memory=memory,
        progress=progress,
    )
    _packed(trial.prediction.impression, memory)
    curve_for_panel(trial, memory)
    if pressure:
        _mapped(stamp, trial, memory)
    return trial


def findings_in(trial: Trial) -> tuple[Finding, ...]:
    """Return what a trial found: of a quick one, what so quick a look can stand by."""
    found = trial.prediction.findings if trial.full else tuple(notable(trial.prediction.findings))
    asked = trial.report.finding
    return found if asked is None else (asked, *found)


def show_trial(
    root: Object, stamp: Stamp, trial: Trial | None, memory: Memory, *, shown: dict[str, Any], scene: Scene
) -> None:
    """Bring the sheet beside a stamp and the pressure on its die to a trial, or to none.

    ``shown``: what the scene is known to show of the stamp; what has not changed is left alone.
    """
    held = root.stampwright
    wanted = trial.prediction.impression if trial is not None and held.sheet == "PRESSED" else stamp.impression
    # Building lays the impression of the whole face anew whenever that changes.
    on_sheet = (wanted, shown.get("impression"))
    if edited_part(root) is None:
        if held.paper and shown.get("sheet") != on_sheet:
            show_impression(root, replace(stamp, impression=wanted), _packed(wanted, memory), scene)
        shown["sheet"] = on_sheet
    on_die = (trial, scene.unit_settings.scale_length)
    _tell_pressure(root, stamp, trial, shown)
    if trial is None or not held.show_pressure:
        take_away_pressure(root)
    elif shown.get(PRESSURE) != on_die or _pressure_of(root) is None:
        _lay_pressure(root, _mapped(stamp, trial, memory), stamp.bend, scene)
    shown[PRESSURE] = on_die


def _tell_pressure(root: Object, stamp: Stamp, trial: Trial | None, shown: dict[str, Any]) -> None:
    """Write into the die's mesh the pressure on the points of its face, and none elsewhere or without a trial."""
    die = part_of(root, "die")
    told = (trial, stamp.die)
    if die is None or die.mode != "OBJECT" or die.data.is_editmode or shown.get("told") == told:
        return
    shown["told"] = told
    if trial is None and die.data.library is not None:
        return
    own_mesh(die)
    if trial is None or len(die.data.vertices) != len(stamp.die.vertices):
        remove_values(die.data, PRESSURE)
        return
    sets = None if stamp.face is None or stamp.bend is not None else stamp.face.dense.sets
    regions = mark_regions(stamp.job, stamp.die, sets, stamp.bend).regions
    on_face = np.unique(stamp.die.triangles[regions == REGIONS.index("face")])
    values = np.zeros(len(stamp.die.vertices), dtype=np.float32)
    places = stamp.die.vertices[on_face]
    flat = places if stamp.bend is None else stamp.bend.flat_again(places, "lying")
    values[on_face] = pressure_on(flat, trial.prediction.pressing)
    write_values(die.data, PRESSURE, "FLOAT", "POINT", values)


def take_away_pressure(root: Object) -> None:
    """Take the pressure off the die's face."""
    sheet = _pressure_of(root)
    if sheet is not None:
        remove_child(sheet)


def curve_for_panel(trial: Trial, memory: Memory) -> np.ndarray:
    """Return the push curve as a small picture, (rows, columns, 4) float, lowest row first."""
    return memory.recall(_curve_drawn, trial, bpy.app.translations.locale)


def curve_as_image(root: Object, trial: Trial) -> Image:
    """Return the push curve as an image of Blender's, which the stamp's next curve takes the place of."""
    title = f"{root.name} push curve"
    drawn = push_curve_page(
        _named(trial),
        trial.report.hand,
        force=_force(trial),
        title=f"Push curve: {trial.job.name}",
        columns=PAGE_PIXELS,
    )
    return as_image(title, drawn)


def _named(trial: Trial) -> list[tuple[str, Any]]:
    """Return the curves to be drawn with their names; where nothing has been dressed off, they are one."""
    curves = [
        ("undressed", trial.report.printed),
        (f"dressed by {spoken(round(trial.dressed, 2))} mm", trial.report.finished),
    ]
    return curves if trial.dressed > 0.0 else curves[:1]


def _force(trial: Trial) -> float:
    return float(trial.force)


def _pressure_of(root: Object) -> Object | None:
    die = part_of(root, "die")
    children = die.children if die is not None else ()
    return next((each for each in children if each.stampwright.role == PRESSURE), None)


def _curve_drawn(trial: Trial, _language: str) -> np.ndarray:
    curves, hand = _named(trial), trial.report.hand
    return in_colour(push_curve_panel(curves, hand, force=_force(trial), columns=PANEL_PIXELS, told=said))


def _packed(impression: Impression, memory: Memory) -> bytes:
    """Return the picture of an impression as a file."""
    return memory.recall(png_bytes, impression.picture, dpi=impression.dpi)


def _mapped(stamp: Stamp, trial: Trial, memory: Memory) -> PressureMap:
    return memory.recall(map_pressure, stamp.pressed, trial.prediction.pressing)


def _lay_pressure(root: Object, mapped: PressureMap, bend: Bend | None, scene: Scene) -> None:
    """Lay a sheet with the pressure on the die's face, bent as it is; a die that is being worked on is left alone."""
    die = part_of(root, "die")
    if die is None or die.mode != "OBJECT":
        take_away_pressure(root)
        return
    sheet = _pressure_of(root)
    if sheet is None:
        mesh = bpy.data.meshes.new(f"{root.name} {PRESSURE}")
        mesh.materials.append(_material())
        sheet = bpy.data.objects.new(mesh.name, mesh)
        sheet.stampwright.role = PRESSURE
        sheet.parent = die
        # It is there to be looked at while working, not to be rendered, and clicks go to the die.
        sheet.hide_render = sheet.hide_select = True
        collection_of(root).objects.link(sheet)
    own_mesh(sheet)
    lifted = mapped.vertices + np.array((0.0, 0.0, SHEET_LIFT))
    repeats = 1 if bend is None else max(1, bend.turns)
    if bend is not None:
        lifted = laid_round(lifted, bend)
    corners = [mapped.triangles + turn * len(mapped.vertices) for turn in range(repeats)]
    write_mesh(sheet.data, lifted / mm_per_unit(scene), np.concatenate(corners))
    opaque = np.pad(mapped.colours, ((0, 0), (0, 1)), constant_values=1.0)
    write_values(sheet.data, PRESSURE_LAYER, "BYTE_COLOR", "POINT", np.tile(opaque, (repeats, 1)))
    write_values(sheet.data, PRESSURE, "FLOAT", "POINT", np.tile(mapped.pressure, repeats))
    sheet.data.attributes.active_color_name = PRESSURE_LAYER


def _material() -> Any:
    """Return the material that shows the colours, also where light and shade are shown."""
    material = bpy.data.materials.get(PRESSURE_LAYER)
    if material is None or material.library is not None:
        material, node = new_matte(PRESSURE_LAYER, "ShaderNodeVertexColor")
        node.layer_name = PRESSURE_LAYER
    return material
