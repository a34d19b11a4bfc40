"""Parting a stamp's artwork into inks, a stamp for each; proving them together; and printing in one ink again."""

from __future__ import annotations

import uuid
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import StringProperty

from ... import loading
from ...job import changes
from ...job.inks import copy_all, give_plate, plate_ink, stamps_of_set
from ...live import following
from ...press import ink_proofs
from ...scene import stamps
from ...scene.stamps import GAUGE, IN_COLOUR, part_of
from ...stampwright.errors import StampwrightError
from ...translations import translated
from ..base import StampOperator
from .placing import place_beside, take_away

if TYPE_CHECKING:
    from bpy.types import Context, Object


class STAMPWRIGHT_OT_part_into_inks(StampOperator, bpy.types.Operator):
    """Make a stamp for each material of the artwork, all held in register by one gauge; white material is paper"""

    bl_idname = "stampwright.part_into_inks"
    bl_label = "Part into Inks"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Part the artwork, make what stamps are missing, build all, and prove them together."""
        root = self.stamp(context)
        inks = _inks_for(root, context)
        before = {plate_ink(each.stampwright): each for each in stamps_of_set(root, context.scene)}
        kept = {ink.layers or ink.colours: (ink, each) for ink, each in before.items() if ink is not None}
        is_same = set(kept) == {ink.layers or ink.colours for ink in inks}
        name = root.stampwright.plate.belongs_to or uuid.uuid4().hex
        free = [each for each in before.values() if each is not root] if before else []
        made: list[Object] = []
        try:
            with changes.quiet():
                for number, ink in enumerate(inks):
                    known, each = kept.get(ink.layers or ink.colours, (None, None))
                    if each is None and not before and number == 0:
                        each = root
                    if each is None:
                        each = _twin_of(context, root, f"{root.name} {ink.name}")
                        made.append(each)
                    elif each in free:
                        free.remove(each)
                    # What was chosen for an ink stays; but with other inks beside it, it may be printed as another.
                    chosen = ink if known is None else known if is_same else replace(known, order=ink.order)
                    give_plate(each.stampwright, chosen, name)
            for each in free:
                take_away(context, each)
            for each in stamps_of_set(root if root.name in bpy.data.objects else made[0], context.scene):
                following.build_now(each)
        except Exception:
            for each in made:
                take_away(context, each)
            if not before:
                root.stampwright.plate.belongs_to = ""
            raise
        ink_proofs.prove_now(root)
        self.report({"INFO"}, translated("Stamps, one for each ink: {count}").format(count=len(inks)))


class STAMPWRIGHT_OT_prove_inks(StampOperator, bpy.types.Operator):
    """Print all inks over one another, in register and as they miss at worst, on a sheet below the first stamp"""

    bl_idname = "stampwright.prove_inks"
    bl_label = "Proof in Colour"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Build what is not built, and prove."""
        ink_proofs.prove_now(self.stamp(context))


class STAMPWRIGHT_OT_show_ink(StampOperator, bpy.types.Operator):
    """Go to the stamp of this ink"""

    bl_idname = "stampwright.show_ink"
    bl_label = "Show Ink"
    bl_options = {"REGISTER", "UNDO"}
    works_in_edit_mode = False

    stamp_name: StringProperty(name="Stamp", description="Name of the stamp's empty")

    def run(self, context: Context) -> Any:
        """Select its empty alone."""
        root = context.scene.objects.get(self.stamp_name)
        if root is None:
            raise StampwrightError(f"{self.stamp_name} is in this scene no more")
        stamps.select_only(context, [root], root)


class STAMPWRIGHT_OT_print_in_one_ink(StampOperator, bpy.types.Operator):
    """Print all of the artwork with this stamp again, and delete the stamps of the other inks"""

    bl_idname = "stampwright.print_in_one_ink"
    bl_label = "One Ink Again"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Take the others away, and build this one from all of the artwork."""
        root = self.stamp(context)
        for each in stamps_of_set(root, context.scene):
            if each is not root:
                take_away(context, each)
        root.stampwright.plate.belongs_to = ""
        for role in (GAUGE, IN_COLOUR):
            child = part_of(root, role)
            if child is not None:
                loading.load("scene.parts").remove_child(child)
        following.build_now(root)


def _inks_for(root: Object, context: Context) -> tuple[Any, ...]:
    """Return the inks of a stamp's artwork: its paints, or those that are proposed for the colours of a file."""
    order = loading.load("building.orders").read_order(root, context.evaluated_depsgraph_get())
    coloured = loading.load("building.plates").coloured_for(order, order.job)
    if order.shapes:
        inks: tuple[Any, ...] = loading.load("stampwright.sets.drawing").inks_of_paints(coloured)
        return inks
    proposed: tuple[Any, ...] = loading.load("stampwright.inks").propose_inks(coloured)
    return proposed


def _twin_of(context: Context, root: Object, name: str) -> Object:
    twin = stamps.new_stamp(context, name)
    copy_all(root.stampwright, twin.stampwright)
    place_beside(context, twin, stamps.drawn_by(root))
    return twin


CLASSES = (
    STAMPWRIGHT_OT_part_into_inks,
    STAMPWRIGHT_OT_prove_inks,
    STAMPWRIGHT_OT_show_ink,
    STAMPWRIGHT_OT_print_in_one_ink,
)
