"""What panels lay out, noted by stand-ins for the host's layouts."""

import importlib
from collections.abc import Iterator
from types import SimpleNamespace

import bpy

MODULE = "bl_ext.user_default.stampwright"


class Sheet:
    """Stands in for a panel's layout and notes what is laid out on it."""

    def __init__(self, shown: list) -> None:
        self.shown = shown

    def prop(self, held, name, text=None, **_about):
        about = held.bl_rna.properties[name]
        section = held.bl_rna.identifier.rpartition("_PG_")[2]
        self.shown.append((f"{section}.{name}", about.name if text is None else text, about.type))

    def label(self, text="", **_about):
        self.shown.append(("", text, "LABEL"))

    def operator(self, name, text=None, **_about):
        self.shown.append((name, text, "OPERATOR"))
        return SimpleNamespace()

    def __getattr__(self, _name):
        # Lists, separators, popovers: nothing with a label of ours.
        return lambda *_about, **_more: None

    def row(self, **_about):
        return Sheet(self.shown)

    column = box = split = grid_flow = row


def laid_out(panels, root, name: str) -> list[tuple[str, str, str]]:
    """Return (property, label, type) of all that a panel shows."""
    shown: list[tuple[str, str, str]] = []
    panel = next(each for each in panels.CLASSES if each.__name__ == f"STAMPWRIGHT_PT_{name}")
    if panel.poll(bpy.context):
        stand_in = SimpleNamespace(layout=Sheet(shown))
        stand_in.show = lambda *about: panel.show(stand_in, *about)
        panel.draw(stand_in, bpy.context)
    return shown


def every_way(root) -> Iterator[None]:
    """Set the stamp, one after the other, to each choice and switch that shows figures of its own."""
    held = root.stampwright
    with importlib.import_module(f"{MODULE}.job.changes").quiet():
        held.cushion.thickness, held.handle.hollow = 2.0, True
        choices = [(held.base, "outline"), (held.handle, "form"), (held.layout, "size_by")]
        choices += [(held.face, "tone"), (held.face, "texture")]
        choices += [(held.bend, "form")]
        for group, name in choices:
            for item in group.bl_rna.properties[name].enum_items:
                setattr(group, name, item.identifier)
                yield
        held.sources.clear()
        held.artwork_file = "scan.png"
        yield
