"""Makes the guide's pictures of finished stamps again, or one of your own, with the extension in any Blender.

    PYTHON shared/guide/product_pictures.py [NAME ...]             the guide's, with Blender as a Python module
    PYTHON shared/guide/product_pictures.py looks [LOOK ...]       those by which looks are chosen in the panel
    PYTHON shared/guide/product_pictures.py ARTWORK JOB PICTURE    one stamp beside its impression
    blender -b --python shared/guide/product_pictures.py -- ...    the same in a Blender that has the extension

As a module, Blender is given the extension from this folder's own sources, in a user folder that is thrown away after.
"""

import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

GUIDE = Path(__file__).resolve().parent
SHARED = GUIDE.parent
ROOT = SHARED.parent
MODULE = "bl_ext.user_default.stampwright"


@dataclass(frozen=True)
class Picture:
    """One picture of the guide: whose stamps, how arranged or filmed, in which look, and what is set beside that.

    ``at``: the moment of a film that is shown, as a share of its length. ``close``: whether it shows the face alone.
    """

    name: str
    arrangement: str
    stamps: tuple[str, ...]
    look: str
    others: dict[str, Any] = field(default_factory=dict)
    at: float | None = None
    close: bool = False


PICTURES = (
    Picture("product-beside.jpg", "picture_beside", ("ownership-mark",), "POTTING_SHED"),
    Picture("product-held.jpg", "picture_held", ("pea-vine",), "POND"),
    Picture(
        "product-face.jpg",
        "picture_beside",
        ("ownership-mark",),
        "MEADOW",
        {"lay": "FACE_UP", "pad": False},
        close=True,
    ),
    Picture("product-press.jpg", "film_press", ("packet-label",), "CHALK", at=0.62),
    Picture("product-apart.jpg", "picture_apart", ("night-meadow",), "WALNUT", {"names": True}),
    Picture(
        "product-flat-lay.jpg",
        "picture_flat_lay",
        ("ownership-mark", "return-address", "packet-label", "pea-vine"),
        "MEADOW",
    ),
    Picture("product-evening.jpg", "picture_beside", ("return-address",), "LATE_SUN"),
    Picture("product-cut-out.webp", "picture_held", ("night-meadow",), "BEETROOT", {"transparent": True, "pad": False}),
)

GUIDE_SIZE = (960, 720)
DEMO_SIZE = (800, 600)
CLOSE = 1.36
"""Width of the picture of a face, as a share of the die's."""

LOOK_SIDE = 128
"""Pixels along each side of the picture of a look."""

COLOURS = 160
"""Of a picture as PNG: what is smooth anyhow needs no more."""

QUALITY = 88
"""Of a picture as WebP."""

TRACE = 8
"""Of 255: what covers no more is left out of a picture without a ground."""


def main(arguments: list[str]) -> int:
    """Make one picture of one's own, or the guide's: all, or those named."""
    if len(arguments) == 3 and arguments[2].endswith((".png", ".jpg")):
        artwork, job, picture = map(Path, arguments)
        _set_size(_make_stamp(artwork, job), DEMO_SIZE, "LOOK")
        _render("picture_beside", picture)
        return 0
    for picture in PICTURES:
        if not arguments or picture.name.partition(".")[0] in arguments:
            _picture(picture)
    if not arguments or arguments[0] == "looks":
        _picture_looks(arguments[1:])
    return 0


def _picture(picture: Picture) -> None:
    """Make a picture of the guide."""
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    _enable()
    for name in reversed(picture.stamps):
        files = (SHARED / "artwork").glob(f"{name}.*")
        root = _make_stamp(next(files), SHARED / "jobs" / f"{name}.toml")
        _set_size(root, GUIDE_SIZE, "LOOK")
        root.stampwright.pictures.look = picture.look
        for setting, value in picture.others.items():
            setattr(root.stampwright.pictures, setting, value)
    path = GUIDE / picture.name
    if path.suffix != ".webp":
        _render(picture.arrangement, path, picture)
        return
    with tempfile.TemporaryDirectory() as folder:
        whole = Path(folder) / "whole.png"
        _render(picture.arrangement, whole, picture)
        _write_cut_out(whole, path)


def _picture_looks(wanted: list[str]) -> None:
    """Make the pictures by which looks are chosen, all or those named: one stamp in each, small."""
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    _enable()
    root = _make_stamp(SHARED / "artwork" / "ownership-mark.svg", SHARED / "jobs" / "ownership-mark.toml")
    _set_size(root, (LOOK_SIDE, LOOK_SIDE), "SCREEN")
    root.stampwright.pictures.pad = False
    choosing = _room("looks.choosing")
    for look in choosing.looks():
        if wanted and look.lower() not in wanted:
            continue
        root.stampwright.pictures.look = look
        path = ROOT / "blender_addon" / "mockup" / "looks" / choosing.picture_of(look).name
        _render("picture_beside", path)
        _make_smaller(path)


def _make_smaller(path: Path) -> None:
    """Write a PNG picture in few colours, which keeps repository and package small."""
    with Image.open(path) as held:
        picture = held.convert("RGB").quantize(COLOURS, method=Image.Quantize.MEDIANCUT)
    picture.save(path, optimize=True)


def _write_cut_out(whole: Path, path: Path) -> None:
    """Write a picture without a ground as WebP, which keeps soft shadows soft in a fifth of what PNG takes."""
    with Image.open(whole) as held:
        # Traces that the smoothing of noise leaves go, and leave no rim where shadows end.
        clear = held.getchannel("A").point(lambda share: max(share - TRACE, 0) * 255 // (255 - TRACE))
        picture = held.copy()
    picture.putalpha(clear)
    picture.save(path, "WEBP", quality=QUALITY, method=6)


def _make_stamp(artwork: Path, job: Path) -> Any:
    """Return the root of a new stamp of an artwork, made by a job; it is the active object then."""
    bpy.ops.stampwright.import_artwork(filepath=str(artwork.resolve()), become="STAMP")
    bpy.ops.stampwright.read_job(filepath=str(job.resolve()))
    return bpy.context.active_object


def _set_size(root: Any, size: tuple[int, int], quality: str) -> None:
    pictures = root.stampwright.pictures
    (pictures.width, pictures.height), pictures.quality = size, quality


def _render(arrangement: str, path: Path, picture: Picture | None = None) -> None:
    with _no_log():
        getattr(bpy.ops.stampwright, arrangement)()
    if picture is not None and picture.at is not None:
        scene = bpy.context.scene
        scene.frame_set(1 + round(picture.at * (scene.frame_end - scene.frame_start + 1)))
    if picture is not None and picture.close:
        _come_close()
    timing = _room("timing")
    effort = timing.effort_of(_room("stage").pictured(bpy.context).stampwright.pictures)
    told, began = timing.estimate(effort), time.monotonic()
    with _no_log():
        bpy.ops.stampwright.render_picture(filepath=str(path.resolve()), overwrite=True)
    print(f"{path.name}: {told}, took {time.monotonic() - began:.0f} s", flush=True)


def _come_close() -> None:
    """Move the camera of a picture to the face of its die, and focus on the middle of that."""
    scene = bpy.context.scene
    die = next(each for each in scene.objects if each.get("stampwright_picture") == "die")
    bpy.context.view_layer.update()
    corners = [die.matrix_world @ Vector(corner) for corner in die.bound_box]
    top = max(corner.z for corner in corners)
    middle = sum(corners, Vector()) / 8.0
    middle.z = top
    away = Vector((0.16, -0.62, 0.77)).normalized()
    camera = scene.camera
    camera.data.lens, reach = 100.0, max(die.dimensions) * CLOSE
    camera.location = middle + away * reach * camera.data.lens / camera.data.sensor_width
    camera.rotation_euler = away.to_track_quat("Z", "Y").to_euler()
    camera.data.dof.focus_distance = (camera.location - middle).length
    camera.data.dof.aperture_fstop = 16.0


def _room(name: str) -> Any:
    package = sys.modules[bpy.types.STAMPWRIGHT_OT_render_picture.__module__].__package__
    return sys.modules[f"{str(package).partition('.operators')[0]}.mockup.{name}"]


@contextmanager
def _no_log() -> Iterator[None]:
    """Keep what the host itself writes to standard output to itself: hundreds of lines for a picture."""
    sys.stdout.flush()
    shown = os.dup(1)
    with open(os.devnull, "wb") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        try:
            yield
        finally:
            os.dup2(shown, 1)
            os.close(shown)


def _enable() -> None:
    """Switch the extension on, from these sources where Blender is a module."""
    if not hasattr(bpy.types, "STAMPWRIGHT_OT_render_picture"):
        if not AS_MODULE:
            sys.exit(
                "this Blender has no Stampwright: install the package that `build.py package` makes, then run this"
            )
        home = Path(os.environ["BLENDER_USER_RESOURCES"], "extensions", "user_default", "stampwright")
        if not home.exists():
            leave = shutil.ignore_patterns("__pycache__", "packing", "stampwright")
            shutil.copytree(ROOT / "blender_addon", home, ignore=leave)
            shutil.copytree(ROOT / "core" / "stampwright", home / "stampwright", ignore=leave)
        bpy.ops.preferences.addon_refresh()
        bpy.ops.preferences.addon_enable(module=MODULE)


if __name__ == "__main__":
    AS_MODULE = "bpy" not in sys.modules
    if AS_MODULE:
        # Before Blender is there: nothing of this machine's own Blender is read or changed.
        os.environ["BLENDER_USER_RESOURCES"] = tempfile.mkdtemp(prefix="stampwright-picture-")
    import bpy  # noqa: TID251 - the host itself runs this
    from mathutils import Vector
    from PIL import Image

    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    _enable()
    code = main(sys.argv[sys.argv.index("--") + 1 :] if "--" in sys.argv else sys.argv[1:])
    sys.stdout.flush()
    if AS_MODULE:
        shutil.rmtree(os.environ["BLENDER_USER_RESOURCES"], ignore_errors=True)
        # Blender 4.2 as a module does not outlive the end of Python.
        os._exit(code)
