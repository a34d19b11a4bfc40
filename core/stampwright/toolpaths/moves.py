"""The moves of a toolpath, and what its machine was told besides, as data."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..errors import ToolpathError

MoveFloats = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Moves:
    """Straight moves in their order, each from where the one before it ended; the first from ``start``.

    ``end``: (n, 3) float32, mm, as the machine stands: x right, y back, z up. ``volume``: (n,) float32, mm³ that
    come out of the nozzle on the way. ``fed``: (n,) float32, mm or mm³ by which the feed turns, either way.
    ``speed``: (n,) float32, mm/s that is asked for. ``acceleration``: (n,) float32, mm/s², 0 where none was told.
    ``tool``: (n,) uint8.
    """

    end: MoveFloats
    volume: MoveFloats
    fed: MoveFloats
    speed: MoveFloats
    acceleration: MoveFloats
    tool: NDArray[np.uint8]
    start: tuple[float, float, float] = (0.0, 0.0, 0.0)

    def __len__(self) -> int:
        return len(self.volume)

    @property
    def begin(self) -> MoveFloats:
        """Where each move begins, (n, 3) mm."""
        begin = np.empty_like(self.end)
        if len(begin):
            begin[0] = self.start
            begin[1:] = self.end[:-1]
        return begin


@dataclass(frozen=True, kw_only=True)
class ToldMoves:
    """What a file tells its machine besides moves.

    ``nozzle`` and ``bed``: temperatures, °C, in the order told, nought left out. ``jerk``: mm/s, ``deviation``: mm,
    of corners, ``limits``: mm/s² that no acceleration passes, each None if it was not told. ``pauses``: s.
    ``step``: smallest step in which lengths of filament are told, mm. ``feed_area``: mm² by which lengths of
    filament become volumes; ``volumetric``: whether the file says volumes itself. ``lines``: how many
    there are. ``guesses``: what was taken for said though nothing says it, a sentence each.
    """

    nozzle: tuple[float, ...] = ()
    bed: tuple[float, ...] = ()
    jerk: float | None = None
    deviation: float | None = None
    limits: float | None = None
    pauses: float = 0.0
    step: float = 1e-5
    feed_area: float = math.pi / 4 * 1.75**2
    volumetric: bool = False
    lines: int = 0
    guesses: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Toolpath:
    """What was read from a file: its moves, and what it tells besides. ``name``: what the file is called."""

    name: str
    moves: Moves
    told: ToldMoves

    @property
    def volume(self) -> float:
        """All that comes out of the nozzle, mm³."""
        return float(self.moves.volume.sum(dtype=np.float64))


def refuse_spirals(toolpath: Toolpath) -> None:
    """Refuse what is laid while it climbs: one wall in a spiral, or layers that are not flat.

    Raises :class:`~stampwright.errors.ToolpathError` when half of all that is laid is laid so.
    """
    moves = toolpath.moves
    rises = np.abs(moves.end[:, 2] - moves.begin[:, 2]) > 1e-6
    if float(moves.volume[rises].sum(dtype=np.float64)) > 0.5 * toolpath.volume:
        raise ToolpathError(
            f"{toolpath.name}: it climbs while it lays: a single wall in a spiral, or layers that are not flat; slice "
            "the die in flat layers, solid inside"
        )
