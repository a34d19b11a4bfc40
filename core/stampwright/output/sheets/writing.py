"""Lines of writing set under each other on a sheet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from ...looks.colours import INK
from ..sketches.marks import Sketch, SketchMark, Words
from ..sketches.wrapping import wrapped

LEADING = 1.36
"""From line to line, as a share of the type size."""


@dataclass
class Column:
    """A sheet's marks as they are put under each other; ``down``: where the next comes, mm from the top."""

    width: float
    down: float = 0.0
    marks: list[SketchMark] = field(default_factory=list)

    def write(
        self,
        said: str,
        size: float,
        *,
        colour: str = INK,
        x: float = 0.0,
        width: float | None = None,
        heading: bool = False,
    ) -> None:
        """Write text, in as many lines as it takes, ``x`` mm from the left and ``width`` wide."""
        for line in wrapped(said, size, (self.width - x) if width is None else width):
            self.down += size * LEADING
            self.marks.append(Words(x, self.down - 0.3 * size, line, size, colour, heading=heading))

    def put(self, marks: Iterable[SketchMark]) -> None:
        """Put marks where they are."""
        self.marks.extend(marks)

    def sketch(self) -> Sketch:
        """Return what was put."""
        return Sketch(self.width, self.down, tuple(self.marks))
