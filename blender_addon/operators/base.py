"""What all operators share: they work on one stamp, and say in one line what went wrong."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..scene import stamps
from ..stampwright.errors import StampwrightError
from ..translations import said

if TYPE_CHECKING:
    import bpy
    from bpy.types import Context, Object

    OperatorPart = bpy.types.Operator
else:
    # To the host only what is registered is an operator; a part stands before its class.
    OperatorPart = object


def refused(operator: Any, why: str) -> set[str]:
    """Report in one line what stood against what was asked for, and return how the operator ends."""
    operator.report({"ERROR"}, said(why))
    return {"CANCELLED"}


class StampOperator(OperatorPart):
    """An operator on the stamp of the active object; its ``run`` may raise StampwrightError."""

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Ask for a stamp that may be changed."""
        root = stamps.stamp_of(context)
        if root is None:
            cls.poll_message_set(said("Select a stamp, one of its parts, or its artwork"))
            return False
        if not stamps.is_ours(root):
            cls.poll_message_set(
                said("This stamp is linked from another file: override it, or make it local, to change it here")
            )
            return False
        if context.mode != "OBJECT" and not cls.works_in_edit_mode:
            cls.poll_message_set(said("This works in object mode: leave the other mode first"))
            return False
        return True

    works_in_edit_mode = True

    def execute(self, context: Context) -> set[str]:
        """Run, and report what went wrong in one line."""
        try:
            return self.run(context) or {"FINISHED"}
        except StampwrightError as error:
            return refused(self, str(error))

    def run(self, context: Context) -> Any:
        """Do the work; None counts as finished."""
        raise NotImplementedError

    @staticmethod
    def stamp(context: Context) -> Object:
        """Return the stamp that is worked on."""
        root = stamps.stamp_of(context)
        if root is None:
            raise StampwrightError("There is no stamp: select one, one of its parts, or its artwork")
        return root
