"""A stamp from a template: words of one's own, set and laid out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import EnumProperty, StringProperty

from ... import loading
from ...job import changes
from ...job.properties import set_job
from ...stampwright.errors import StampwrightError
from ...translations import translated
from ..base import refused
from .making import finish, new_stamp
from .placing import view_stamp

if TYPE_CHECKING:
    from bpy.types import Context

LEFT_OUT = "-"
ABOUT_WORDS = f"Words for this place; empty keeps what the template says, {LEFT_OUT} leaves the place out"

_items: list[tuple[str, str, str]] = []


def _templates(_self: Any, _context: Context | None) -> list[tuple[str, str, str]]:
    # The host keeps no reference of its own to what a callback returns.
    if not _items:
        _items.extend(
            (each.name, each.name.capitalize(), each.about)
            for each in loading.load("stampwright.templates").list_templates()
        )
    return _items


class STAMPWRIGHT_OT_stamp_from_template(bpy.types.Operator):
    """Make a stamp that is laid out in advance, with words of your own"""

    bl_idname = "stampwright.stamp_from_template"
    bl_label = "Stamp from Template"
    bl_options = {"REGISTER", "UNDO"}

    template: EnumProperty(name="Template", description="What kind of stamp it is", items=_templates)
    words_1: StringProperty(name="First Words", description=ABOUT_WORDS)
    words_2: StringProperty(name="Second Words", description=ABOUT_WORDS)
    words_3: StringProperty(name="Third Words", description=ABOUT_WORDS)
    words_4: StringProperty(name="Fourth Words", description=ABOUT_WORDS)
    words_5: StringProperty(name="Fifth Words", description=ABOUT_WORDS)

    def execute(self, context: Context) -> set[str]:
        """Fill the template, and make the stamp."""
        room = loading.load("stampwright.templates")
        try:
            template = room.template_called(self.template)
            given = {place: getattr(self, field) for place, field in self._fields(template)}
            filled = {place: "" if words == LEFT_OUT else words for place, words in given.items() if words}
            job = room.fill_template(template, filled)
            root = new_stamp(context, job.name, [])
            with changes.quiet():
                set_job(root.stampwright, job)
            done: set[str] = set(finish(self, context, root))
            view_stamp(context, root)
        except StampwrightError as error:
            return refused(self, str(error))
        return done

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Ask for the words."""
        done: set[str] = set(context.window_manager.invoke_props_dialog(self))
        return done

    def draw(self, _context: Context) -> None:
        """Show the places that the template has, each with what it says."""
        layout = self.layout
        layout.use_property_split = True
        layout.prop(self, "template")
        template = loading.load("stampwright.templates").template_called(self.template)
        for place, field in self._fields(template):
            layout.prop(self, field, text=_named(place), placeholder=template.words[place], translate=False)

    @staticmethod
    def _fields(template: Any) -> list[tuple[str, str]]:
        return [(place, f"words_{number}") for number, place in enumerate(template.words, start=1)]


def _named(place: str) -> str:
    """Return what a template's place is called: a number at its end stands apart."""
    word = place.rstrip("0123456789")
    number = place.removeprefix(word)
    return " ".join(filter(None, (translated(word.replace("_", " ").capitalize()), number)))


CLASSES = (STAMPWRIGHT_OT_stamp_from_template,)
