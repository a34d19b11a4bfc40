"""The die: floor and relief, reversed, so that what it prints reads right."""

from __future__ import annotations

from ..face import DieShape
from ..solids import Solid, judge_relief, raise_relief


def build_die(shape: DieShape) -> Solid:
    """Return the die with a plain face, in the die frame, standing on its floor with the face up.

    Once the dressing allowance is taken off, the face is exactly that of its shape, see
    :func:`~stampwright.face.shape_die`. Raises :class:`~stampwright.errors.SolidError` when there is no ink on the base
    or no sound solid can be made.
    """
    return judge_die(lay_die(shape))


def lay_die(shape: DieShape) -> Solid:
    """Return the die as :func:`build_die` does, but not judged yet: to be shown before.

    Raises :class:`~stampwright.errors.SolidError` when there is no ink on the base.
    """
    return raise_relief(shape.face, shape.floor, shape.heights, shoulder=shape.shoulder, name="die", judged=False)


def judge_die(die: Solid) -> Solid:
    """Return a die as it is; raises :class:`~stampwright.errors.SolidError` when it is not sound."""
    return judge_relief(die)
