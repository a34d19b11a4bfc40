"""Times live edits of flat and bent dies inside Blender, and a whole stamp beside the by-hand way.

By hand that is: import, extrude, mirror, union, export.

Run by a Python that has Blender as a module. Each measurement has a process of its own; one that takes longer than
two minutes is given up.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from importlib import import_module
from pathlib import Path
from statistics import median
from time import perf_counter, process_time, sleep

import bpy
import numpy as np
import shapely.affinity
from pieces import ACROSS, seed_head, write_piece

ROOT = Path(__file__).resolve().parents[2]
MODULE = "bl_ext.user_default.stampwright"
DEMO = ROOT / "shared" / "artwork" / "ownership-mark.svg"

SIZES = (300, 3_000, 30_000)
FORMS = ("flat", "rocker", "roller")
BAND = 50.0
"""How much of what they roll on rockers and rollers bear, mm: the art is 46 mm wide."""

EDITS = 7
PATIENCE = 120.0

FLOOR, RELIEF = 2.0, 2.2
"""Heights of the die by hand, mm: those of a job as it comes, dressing allowance in it."""


def main() -> None:
    """Measure everything and print the tables."""
    print(f"\nIn Blender {bpy.app.version_string}: from an edit to the meshes in the scene, median of {EDITS}")
    _row("outline points", [f"{size:,}" for size in SIZES])
    for form in FORMS:
        live = [_in_process("live", str(size), form) for size in SIZES]
        _row(f"{form} die", [""] * len(SIZES))
        for name in ("die shown", "all shown", "handle shown", "die, processor", "all, processor"):
            _row(f"  {name}, ms", [_ms(each.get(name)) for each in live])
    with tempfile.TemporaryDirectory() as folder:
        files = [*(write_piece(size, Path(folder)) for size in SIZES), DEMO]
        ways = ("stampwright", "exact", "manifold")
        measured = {way: [_in_process(way, str(file)) for file in files] for way in ways}
    print("\nThe same SVG files, from the file to the die's STL (art: agreement of what the top prints)")
    _row("file", [file.stem for file in files])
    for way, told in measured.items():
        name = way if way == "stampwright" else f"by hand, {way} solver"
        _row(f"{name}, s", [f"{each['seconds']:.2f}" if "seconds" in each else "-" for each in told])
        _row("  manifold", [each.get("manifold", each.get("failed", "")) for each in told])
        _row("  art", [each.get("art", "") for each in told])
    print("(stampwright: preflight, backing, handle, proof and ticket too, and the files read back and proven)")


def measure_live(size: int, form: str) -> dict[str, float]:
    """Return the milliseconds from an edit to what follows it in the scene, of a die of a form.

    ``die shown`` and ``all shown``: from the edit of one point; ``handle shown``: from that of a figure of the handle;
    ``processor``: the processor's time until then, which does not hang on what else the machine does.
    """
    extension = _enable()
    live = import_module(f"{extension}.live.following")
    drawn = _draw(seed_head(size))
    _select(drawn)
    bpy.ops.stampwright.make_stamp()
    root = bpy.context.active_object
    if form != "flat":
        root.stampwright.bend.band, root.stampwright.bend.form = BAND, form
        _follow(live, root)
        if live.message_at(root.session_uid):
            raise RuntimeError(live.message_at(root.session_uid))
    names = ("die shown", "all shown", "handle shown", "die, processor", "all, processor")
    took: dict[str, list[float]] = {name: [] for name in names}
    for number in range(EDITS + 1):
        drawn.data.splines[0].points[0].co.x += 1e-5 * (1 if number % 2 else -1)
        worked = process_time()
        die, everything, worked_until = _follow(live, root)
        worked_in_all = process_time() - worked
        root.stampwright.handle.height = 40.0 + number
        handle, _, _ = _follow(live, root)
        # The first edit warms up.
        if number:
            seconds = (die, everything, handle, worked_until - worked, worked_in_all)
            for name, each in zip(names, seconds, strict=True):
                took[name].append(each)
    return {name: 1000 * median(each) for name, each in took.items()}


def _follow(live, root) -> tuple[float, float, float]:
    """Return the seconds until the first part that an edit changes is in the scene, and until all of the stamp is.

    Then what the processor had worked in all when that first part was there.
    """
    begun = perf_counter()
    bpy.context.view_layer.update()
    first, worked = None, 0.0
    while live.is_busy():
        # In a window the host's timer does this, as often as it is told.
        wait = live.scheduler.tick()
        work = live.work_of(root)
        if first is None and work is not None and work.has_shown:
            first, worked = perf_counter() - begun, process_time()
        sleep(wait or 0.0)
    ended = perf_counter() - begun
    return first or ended, ended, worked or process_time()


def make_with_stampwright(file: Path, folder: Path) -> dict[str, object]:
    """Time a stamp from a file to its written files, and judge its die."""
    extension = _enable()
    kinds = import_module(f"{extension}.stampwright.preflight").KINDS
    _make_once(file, folder / "first", kinds)
    bpy.ops.wm.read_homefile(use_empty=True)
    begun = perf_counter()
    _make_once(file, folder / "second", kinds)
    return {"seconds": perf_counter() - begun, **_judge(folder / "second" / "die.stl", file)}


def make_by_hand(file: Path, folder: Path, solver: str) -> dict[str, object]:
    """Time the steps that a user takes without the extension, and judge what comes of it."""
    import addon_utils

    addon_utils.enable("io_curve_svg")
    bpy.ops.wm.read_homefile(use_empty=True)
    begun = perf_counter()
    bpy.ops.import_curve.svg(filepath=str(file))
    curves = [each for each in bpy.data.objects if each.type == "CURVE"]
    _select(*curves)
    if len(curves) > 1:
        bpy.ops.object.join()
    art = bpy.context.view_layer.objects.active
    # The importer reads lengths as metres; the art is made 46 mm wide, in millimetres, about the origin.
    bpy.context.view_layer.update()
    art.data.extrude = RELIEF / 2 / (scale := ACROSS / max(art.dimensions.xy))
    bpy.ops.object.convert(target="MESH")
    bpy.ops.object.origin_set(type="ORIGIN_GEOMETRY", center="BOUNDS")
    # Mirrored, and sunk by a little: solids that only touch are what the solvers fail on most.
    art.scale, art.location = (-scale, scale, scale), (0.0, 0.0, FLOOR + RELIEF / 2 - 0.1)
    bpy.ops.object.transform_apply()
    bpy.ops.object.mode_set(mode="EDIT")
    bpy.ops.mesh.select_all(action="SELECT")
    bpy.ops.mesh.remove_doubles(threshold=1e-5)
    bpy.ops.mesh.normals_make_consistent(inside=False)
    bpy.ops.object.mode_set(mode="OBJECT")
    bpy.ops.mesh.primitive_cylinder_add(vertices=128, radius=25.0, depth=FLOOR, location=(0.0, 0.0, FLOOR / 2))
    disc = bpy.context.object
    union = disc.modifiers.new("union", "BOOLEAN")
    union.operation, union.object, union.solver = "UNION", art, solver.upper()
    bpy.ops.object.modifier_apply(modifier=union.name)
    _select(disc)
    written = folder / "hand.stl"
    bpy.ops.wm.stl_export(filepath=str(written), export_selected_objects=True)
    return {"seconds": perf_counter() - begun, **_judge(written, file)}


def _make_once(file: Path, folder: Path, kinds: tuple[str, ...]) -> None:
    bpy.ops.stampwright.import_artwork(filepath=str(file), become="STAMP")
    held = bpy.context.active_object.stampwright
    held.preflight.accept = json.dumps(list(kinds))
    held.job_name = folder.name
    bpy.ops.stampwright.export_files(directory=str(folder))


def _judge(written: Path, file: Path) -> dict[str, str]:
    """Say whether a mesh is manifold, and how far what its highest face prints agrees with the art."""
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("extra", "<u2")])
    corners = np.frombuffer(written.read_bytes(), record, offset=84)["corners"]
    _, numbers = np.unique(corners.reshape(-1, 3), axis=0, return_inverse=True)
    triangles = numbers.reshape(-1, 3)
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    kinds, counts = np.unique(edges, axis=0, return_counts=True)
    back = {(second, first) for first, second in kinds.tolist()}
    paired = back == {(first, second) for first, second in kinds.tolist()}
    manifold = len(kinds) > 0 and paired and bool((counts == 1).all())
    face = corners[(corners[:, :, 2] > corners[:, :, 2].max() - 1e-3).all(axis=1)][:, :, :2] * (-1, 1)
    return {"manifold": "yes" if manifold else "NO", "art": f"{_agreement(face, file):.1%}"}


def _agreement(face: np.ndarray, file: Path) -> float:
    """Return intersection over union of printed triangles and the file's ink, brought to one width and place."""
    if not len(face):
        return 0.0
    inked = import_module(f"{_enable()}.stampwright.artwork").read_artwork(file).inked
    printed = shapely.union_all(shapely.make_valid(shapely.polygons(face)), grid_size=1e-5)
    left, bottom, right, _ = printed.bounds
    meant = inked.bounds
    scale = (meant[2] - meant[0]) / (right - left)
    matrix = [scale, 0, 0, scale, meant[0] - left * scale, meant[1] - bottom * scale]
    placed = shapely.affinity.affine_transform(printed, matrix)
    return float(placed.intersection(inked).area / placed.union(inked).area)


def _enable() -> str:
    """Enable the extension from its source, in a user folder of this process, and return its module's name."""
    import addon_utils

    place = Path(bpy.utils.user_resource("EXTENSIONS", path="user_default", create=True)) / "stampwright"
    if not place.exists():
        place.symlink_to(ROOT / "blender_addon")
        addon_utils.modules_refresh()
    if MODULE not in bpy.context.preferences.addons:
        bpy.ops.wm.read_homefile(use_empty=True)
        bpy.ops.preferences.addon_enable(module=MODULE)
    return MODULE


def _draw(rings: list[np.ndarray]):
    """Return a filled curve of these rings, mm, in a scene of metres."""
    curve = bpy.data.curves.new("seed head", "CURVE")
    curve.dimensions, curve.fill_mode = "2D", "BOTH"
    for ring in rings:
        spline = curve.splines.new("POLY")
        spline.points.add(len(ring) - 1)
        spline.points.foreach_set("co", np.column_stack([ring / 1000, np.zeros(len(ring)), np.ones(len(ring))]).ravel())
        spline.use_cyclic_u = True
    drawn = bpy.data.objects.new("seed head", curve)
    bpy.context.scene.collection.objects.link(drawn)
    return drawn


def _select(*chosen) -> None:
    bpy.context.view_layer.update()
    for each in bpy.data.objects:
        each.select_set(each in chosen)
    bpy.context.view_layer.objects.active = chosen[0]


def _in_process(*arguments: str) -> dict:
    """Return what this script measures in a process of its own; why not, when it does not come to an end."""
    with tempfile.TemporaryDirectory() as resources:
        try:
            child = subprocess.run(
                [sys.executable, __file__, *arguments],
                env={**os.environ, "BLENDER_USER_RESOURCES": resources},
                stdin=subprocess.DEVNULL,
                capture_output=True,
                text=True,
                timeout=PATIENCE,
                check=False,
            )
        except subprocess.TimeoutExpired:
            return {"failed": "over 2 min"}
    if child.returncode:
        print(child.stderr[-800:], file=sys.stderr)
        return {"failed": "failed"}
    told: dict = json.loads(child.stdout.splitlines()[-1])
    return told


def _row(name: str, cells: list[str]) -> None:
    print(f"{name:<26}" + "".join(f"{cell:>18}" for cell in cells), flush=True)


def _ms(milliseconds: float | None) -> str:
    return "-" if milliseconds is None else f"{milliseconds:.0f}"


if __name__ == "__main__":
    if len(sys.argv) == 1:
        main()
    else:
        way, what, *form = sys.argv[1:]
        with tempfile.TemporaryDirectory() as name:
            if way == "live":
                told = measure_live(int(what), *form)
            elif way == "stampwright":
                told = make_with_stampwright(Path(what), Path(name))
            else:
                told = make_by_hand(Path(what), Path(name), way)
        print(json.dumps(told), flush=True)
        # Python's own end is no safe place in Blender 4.2.
        os._exit(0)
