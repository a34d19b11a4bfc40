"""What a newcomer does with the package, in a host of its own; prints what came of it as one line of JSON.

Run as ``python -S -I newcomer.py SITE PACKAGE FOLDER``: SITE holds Blender as a module and what a host brings, and
nothing of what the package brings, so that only the package's own wheels can serve it.
"""

import json
import os
import sys
from pathlib import Path

SITE, PACKAGE, FOLDER = sys.argv[1:4]
sys.path.append(SITE)

import bpy  # noqa: E402
import numpy as np  # noqa: E402

MODULE = "bl_ext.user_default.stampwright"

# An F: no reversal and no turn of it is the same again. In mm, counter-clockwise.
LETTER = [(0, 0), (6, 0), (6, 12), (14, 12), (14, 18), (6, 18), (6, 24), (18, 24), (18, 30), (0, 30)]


def main() -> None:
    """Install, draw, make, export, disable, enable, uninstall."""
    bpy.ops.wm.read_factory_settings(use_empty=True)
    before = traces()
    told: dict[str, object] = {"drawn": LETTER, "host": bpy.app.version_string}
    told["installed"] = list(bpy.ops.extensions.package_install_files(filepath=PACKAGE, repo="user_default"))
    told["enabled"] = MODULE in bpy.context.preferences.addons
    told["loaded at start"] = sorted({"shapely", "manifold3d", "PIL"} & set(sys.modules))
    draw_letter()
    told["made"] = list(bpy.ops.stampwright.make_stamp())
    told["parts"] = sorted(each.stampwright.role for each in bpy.data.objects if each.stampwright.role)
    told["exported"] = list(bpy.ops.stampwright.export_files("EXEC_DEFAULT", directory=FOLDER))
    libraries = ("shapely", "manifold3d", "PIL")
    told["libraries"] = {name: str(sys.modules[name].__file__) for name in libraries if name in sys.modules}
    told["resources"] = bpy.utils.user_resource("EXTENSIONS")
    bpy.ops.preferences.addon_disable(module=MODULE)
    told["left when disabled"] = sorted(traces() - before)
    bpy.ops.preferences.addon_enable(module=MODULE)
    told["enabled again"] = hasattr(bpy.types, "STAMPWRIGHT_OT_make_stamp")
    repositories = [each.module for each in bpy.context.preferences.extensions.repos]
    repository = repositories.index("user_default")
    bpy.ops.extensions.package_uninstall(repo_index=repository, pkg_id="stampwright")
    told["left when uninstalled"] = sorted(traces() - before)
    told["files left"] = [path.name for path in Path(told["resources"]).rglob("*") if "stampwright" in path.name]
    print(json.dumps(told), flush=True)
    # Blender 4.2 as a module crashes when Python ends after anything that draws or listens has been registered, even
    # after it was taken back, and even a panel of three lines: leave without that.
    os._exit(0)


def draw_letter() -> None:
    """Draw the letter as a filled curve in millimetres, and select it."""
    bpy.context.scene.unit_settings.scale_length = 0.001
    curve = bpy.data.curves.new("Letter", "CURVE")
    curve.dimensions, curve.fill_mode = "2D", "BOTH"
    spline = curve.splines.new("POLY")
    spline.points.add(len(LETTER) - 1)
    spline.points.foreach_set("co", np.array([(x, y, 0, 1) for x, y in LETTER], dtype=np.float32).ravel())
    spline.use_cyclic_u = True
    letter = bpy.data.objects.new("Letter", curve)
    bpy.context.scene.collection.objects.link(letter)
    bpy.context.view_layer.objects.active = letter
    letter.select_set(True)


def traces() -> set[str]:
    """Return everything of an extension that the host holds: classes, operators, handlers, timers, properties."""
    found = {name for name in dir(bpy.types) if "stampwright" in name.lower()}
    found |= {f"bpy.ops.stampwright.{name}" for name in dir(bpy.ops.stampwright)}
    for name in dir(bpy.app.handlers):
        held = getattr(bpy.app.handlers, name)
        if isinstance(held, list):
            found |= {f"{name}: {handler}" for handler in held if "stampwright" in str(handler.__module__)}
    for owner in (bpy.types.Object, bpy.types.Scene, bpy.types.WindowManager, bpy.types.Curve, bpy.types.Mesh):
        found |= {f"{owner.__name__}.{name}" for name in dir(owner) if "stampwright" in name.lower()}
    menus = [getattr(bpy.types, name) for name in dir(bpy.types) if "_MT_" in name]
    for menu in menus:
        drawn = getattr(menu.draw, "_draw_funcs", [])
        found |= {f"{menu.__name__}: {each}" for each in drawn if "stampwright" in str(each.__module__)}
    keys = bpy.context.window_manager.keyconfigs.addon
    for keymap in keys.keymaps if keys else ():
        found |= {f"{keymap.name}: {item.idname}" for item in keymap.keymap_items if "stampwright" in item.idname}
    return found


if __name__ == "__main__":
    main()
