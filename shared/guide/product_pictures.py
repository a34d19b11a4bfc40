"""Makes the guide's pictures of finished stamps again, or one of your own, with the extension in any Blender.

    PYTHON shared/guide/product_pictures.py [NAME ...]             the guide's, with Blender as a Python module
    PYTHON shared/guide/product_pictures.py ARTWORK JOB PICTURE    one stamp beside its impression
    blender -b --python shared/guide/product_pictures.py -- ...    the same in a Blender that has the extension

As a module, Blender is given the extension from this folder's own sources, in a user folder that is thrown away after.
"""

import os
import shutil
import sys
import tempfile
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
    """One picture of the guide: whose stamps, how arranged, and how they look where that is not the usual way."""

    name: str
    arrangement: str
    stamps: tuple[str, ...]
    looks: dict[str, Any] = field(default_factory=dict)


PICTURES = (
    Picture("product-beside", "beside", ("ownership-mark",)),
    Picture(
        "product-held",
        "held",
        ("pea-vine",),
        {
            "handle_colour": "POND_BLUE",
            "handle_finish": "SILK",
            "die_colour": "MIST",
            "ink": "INK_BLUE",
            "ground": "LINEN",
        },
    ),
    Picture(
        "product-apart",
        "apart",
        ("night-meadow",),
        {
            "handle_colour": "RUST_BROWN",
            "handle_finish": "WOOD",
            "die_colour": "HEATHER",
            "ink": "PLUM",
            "ground": "CLAY",
        },
    ),
    Picture(
        "product-flat-lay",
        "flat_lay",
        ("ownership-mark", "return-address", "packet-label", "pea-vine"),
        {"ground": "STONE", "ink": "FERN_GREEN", "handle_colour": "OAT", "handle_finish": "WOOD"},
    ),
)

GUIDE_SIZE = (960, 720)
DEMO_SIZE = (800, 600)


def main(arguments: list[str]) -> int:
    """Make one picture of one's own, or the guide's: all, or those named."""
    if len(arguments) == 3 and arguments[2].endswith((".png", ".jpg")):
        artwork, job, picture = map(Path, arguments)
        _set_size(_make_stamp(artwork, job), DEMO_SIZE, "LOOK")
        _render("beside", picture)
        return 0
    for picture in PICTURES:
        if not arguments or picture.name in arguments:
            bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
            _enable()
            for name in reversed(picture.stamps):
                files = (SHARED / "artwork").glob(f"{name}.*")
                root = _make_stamp(next(files), SHARED / "jobs" / f"{name}.toml")
                _set_size(root, GUIDE_SIZE, "SCREEN")
                for look, value in picture.looks.items():
                    setattr(root.stampwright.pictures, look, value)
            _render(picture.arrangement, GUIDE / f"{picture.name}.jpg")
    return 0


def _make_stamp(artwork: Path, job: Path) -> Any:
    """Return the root of a new stamp of an artwork, made by a job; it is the active object then."""
    bpy.ops.stampwright.import_artwork(filepath=str(artwork.resolve()), become="STAMP")
    bpy.ops.stampwright.read_job(filepath=str(job.resolve()))
    return bpy.context.active_object


def _set_size(root: Any, size: tuple[int, int], quality: str) -> None:
    pictures = root.stampwright.pictures
    (pictures.width, pictures.height), pictures.quality = size, quality


def _render(arrangement: str, path: Path) -> None:
    with _no_log():
        getattr(bpy.ops.stampwright, f"picture_{arrangement}")()
        bpy.ops.stampwright.estimate_picture()
    rendering = _room("rendering")
    effort = rendering.effort_of(_room("stage").pictured(bpy.context).stampwright.pictures)
    print(f"Rendering {path.name}: {rendering.estimate(effort)}", flush=True)
    with _no_log():
        bpy.ops.stampwright.render_picture(filepath=str(path.resolve()), overwrite=True)


def _room(name: str) -> Any:
    package = sys.modules[bpy.types.STAMPWRIGHT_OT_render_picture.__module__].__package__
    return sys.modules[f"{str(package).rpartition('.')[0]}.mockup.{name}"]


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

    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    _enable()
    code = main(sys.argv[sys.argv.index("--") + 1 :] if "--" in sys.argv else sys.argv[1:])
    sys.stdout.flush()
    if AS_MODULE:
        shutil.rmtree(os.environ["BLENDER_USER_RESOURCES"], ignore_errors=True)
        # Blender 4.2 as a module does not outlive the end of Python.
        os._exit(code)
