"""What an asset stands for: settings of a stamp, a curve for its handle, or a finish; kept on the asset itself."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from typing import Any

KEPT_AS = "stampwright_asset"
"""Property of an asset that holds this, as JSON: it goes with the asset into any file."""


@dataclass(frozen=True)
class Meaning:
    """``settings``: by path. ``curve``: which of the stamp's properties the asset itself becomes, if it is a curve.

    ``finish`` and ``colour``: of a filament, as the stamp's pictures name them. ``unit``: millimetres in a unit of what
    is drawn.
    """

    settings: dict[str, Any]
    curve: str = ""
    finish: str = ""
    colour: str = ""
    unit: float = 1000.0

    def keep_on(self, asset: Any) -> None:
        """Keep this on an asset."""
        asset[KEPT_AS] = json.dumps(asdict(self))


def meaning_of(asset: Any) -> Meaning | None:
    """Return what an asset stands for, or None when it is none of ours or cannot be read."""
    try:
        return Meaning(**json.loads(asset[KEPT_AS]))
    except (KeyError, TypeError, ValueError):
        return None
