"""A stamp whose empty is scaled is shown in another size than it is made in: that is said, and can be made its size."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ..stampwright.findings import Finding
from .results import SCALED

if TYPE_CHECKING:
    from bpy.types import Object

EVEN = 1e-3
"""Share by which the scale of a stamp may be off one, or differ from side to side."""


def scale_of(root: Object) -> float | None:
    """Return by how much a stamp is shown larger than it is, or None when that is not the same on all sides."""
    matrix: Any = np.array(root.matrix_world, dtype=np.float64)[:3, :3]
    sizes = np.linalg.svd(matrix, compute_uv=False)
    is_even = sizes[0] - sizes[2] <= EVEN * sizes[0] and np.linalg.det(matrix) > 0.0
    return float(sizes.mean()) if is_even else None


def about_scale(root: Object) -> tuple[Finding, ...]:
    """Return what is to be said of how a stamp stands: nothing where it is shown as large as it is."""
    scale = scale_of(root)
    if scale is not None and abs(scale - 1.0) <= EVEN:
        return ()
    shown = "stretched or mirrored" if scale is None else f"at {scale:.3g} times its size"
    finding = Finding(
        kind=SCALED,
        severity="warns",
        stage="build",
        message=f"the empty of the stamp is scaled: it is shown {shown}, and made as the settings say",
        remedy="Apply Stamp Scale makes it that size, Alt+S shows its own",
    )
    return (finding,)
