"""A stamp as data: the job, what was built from it, what it weighs and what it prints."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from shapely.geometry import MultiPolygon

from .artwork.sources import Sources
from .findings import Finding, blocking
from .job import Job
from .parts.backing import seat_height
from .parts.rolling.fork import arm_end
from .parts.rolling.printing import as_printed
from .parts.standing import BedPose, Standing, stand
from .parts.true_size import for_printer

if TYPE_CHECKING:
    from .curved import Bend
    from .face import LaidPicture, TexturedFace
    from .layout import Layout
    from .likeness import GivenArt, Judgement
    from .parts.measures import Measures
    from .preflight import Repair
    from .press.impression import Impression
    from .press.pressing_figures import PressFigures
    from .solids.solid import Solid


@dataclass(frozen=True, eq=False)
class Stamp:
    """Everything about one stamp.

    ``inked`` is the artwork that the die carries: the laid-out artwork, or its repair; ``outlines`` is the finished
    face that shall print it: the ink, or the ink less its spread. Places and outlines are in the paper frame, mm, with
    the origin in the middle of the base. Parts that the job does without are None; a backing in one piece with the die
    is part of ``die``. ``measures`` holds one entry for every printed part, by name.
    ``face`` is there when the die's face is textured: the impression is then what the job's push prints, light where
    the face lies lower. ``picture``: the grey picture of its texture or of the ink's tone, if there is one.
    ``given``: the art as it was given, at its final size, before anything was done to it; ``judgement``: what the
    impression has of it. ``screened``: the dots or lines as they were meant, where tones were screened.
    ``bend``: how the die is bent, None for a flat one; a bent die lies face up, its middle highest. ``unbent``: the
    same die flat, one repeat of it.
    ``sources``: the files that the artwork was read from.
    ``pressing`` is what pressing it takes, reckoned from the die as written: None until then, so that a stamp that
    changes while it is drawn stays quick, and None when its press cannot be reckoned, which a finding tells.
    """

    job: Job
    layout: Layout
    inked: MultiPolygon
    outlines: MultiPolygon
    repair: Repair | None
    die: Solid
    backing: Solid | None
    cushion: Solid | None
    handle: Solid | None
    impression: Impression
    findings: tuple[Finding, ...]
    measures: Mapping[str, Measures]
    pressing: PressFigures | None = None
    face: TexturedFace | None = None
    picture: LaidPicture | None = None
    given: GivenArt | None = None
    judgement: Judgement | None = None
    screened: MultiPolygon | None = None
    sources: Sources = field(default_factory=Sources)
    bend: Bend | None = None
    unbent: Solid | None = None

    @property
    def parts(self) -> Mapping[str, Solid]:
        """The solids that there are, by name, in the order from paper to hand."""
        solids = (self.die, self.cushion, self.backing, self.handle)
        return {solid.name: solid for solid in solids if solid is not None}

    @property
    def pressed(self) -> Solid:
        """The die as it is pressed on paper: flat, also where it is bent to roll over it."""
        return self.die if self.unbent is None else self.unbent

    @property
    def thick(self) -> float:
        """How thick the die is from its underside to the top of its face, mm, dressing allowance and all."""
        if self.bend is not None:
            return self.bend.height + self.bend.dressing
        return float(self.die.bounds[1][2] - self.die.bounds[0][2])

    @property
    def printed(self) -> Mapping[str, Solid]:
        """The solids as their files have them, standing on the printer's bed, by name.

        Those of a flat stamp are its parts, but for a die whose printer does not print true to size.
        """
        laid = {name: as_printed(solid, self.bend, self.job.bend) for name, solid in self.parts.items()}
        return laid | {"die": for_printer(laid["die"], self.job.printer)}

    def stand(self, standing: Standing) -> dict[str, BedPose]:
        """Return where every part stands, by its name; see :func:`~stampwright.parts.stand`."""
        seat = seat_height(self.job.backing, self.job.printer.hard.layer)
        parts = self.printed if standing == "print" else self.parts
        return stand(parts.values(), standing, seat=seat, bend=self.bend, axle=arm_end(self.job.bend))

    @property
    def blocked(self) -> tuple[Finding, ...]:
        """The findings that keep this stamp from being made; empty when it can be made."""
        return blocking(self.findings)
