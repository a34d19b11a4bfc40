"""A stamp tried on paper: what it prints under the job's push, and how it wants to be pressed."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry import MultiPolygon

from ..job import Job
from ..memory import Memory, Progress
from .faces.printed import face_of
from .impressing import Mesh
from .impression import HeightMap
from .prediction import Prediction, predict_from_face
from .press_report import PressReport, report_from_face
from .pressure_map import scale_top

QUICK_DPI, FULL_DPI = 200.0, 300.0
"""Resolution of the print with the quick solver, and with the full one."""

REPORT_DPI = 100.0
"""On the demo stamps pushes are then within 3 % of those at 300 dpi."""


@dataclass(frozen=True, eq=False)
class Trial:
    """A stamp tried on paper: what it prints, how it wants to be pressed, and whether the full solver was used.

    ``dressed``: how much is taken off the face, mm. ``scale_top``: upper end of the scale on which
    :func:`~stampwright.press.pressure_map.map_pressure` shows the pressure, MPa.
    """

    job: Job
    prediction: Prediction
    report: PressReport
    full: bool
    dressed: float
    scale_top: float

    @property
    def printed_share(self) -> float:
        """Share of the face that the job's push prints solid, 0 to 1."""
        return self.prediction.pressing.printed_share(self.job.ink.solid_from)

    @property
    def force(self) -> float:
        """What it was pushed with, N: the job's push, or as much of it as so small a face is given."""
        return self.prediction.pressing.force

    @property
    def peak(self) -> float:
        """Greatest pressure on the face, MPa."""
        return float(self.prediction.pressing.pressure.max())


def try_on_paper(
    job: Job,
    mesh: Mesh,
    inked: MultiPolygon | None = None,
    *,
    meant: MultiPolygon | None = None,
    allowance: float,
    textured: bool = True,
    full: bool = False,
    memory: Memory | None = None,
    progress: Progress | None = None,
) -> Trial:
    """Press a die as its job says and find how it wants to be pressed.

    Arguments are those of :func:`~stampwright.press.prediction.predict_print`, which also says what is raised. ``full``
    takes the full solver for the print, and adds advice and what each assumption does; without it the quick solver is
    used whatever the job says, and all is done in a fraction of a second. ``memory``: what was reckoned before; what
    has not changed is not reckoned again.
    """
    memory = Memory() if memory is None else memory
    tell = progress or (lambda _step, _share: None)
    job = job.with_value("press.solver", "full" if full else "quick")

    def mapped(dpi: float) -> HeightMap:
        return memory.beside(f"{dpi:g} dpi").recall(face_of, mesh, dpi=dpi, dressing=allowance, meant=meant)

    tell("looking at the face", 0.0)
    face = mapped(FULL_DPI if full else QUICK_DPI)
    tell("pressing", 0.1)
    prediction = predict_from_face(
        job,
        face,
        inked,
        allowance=allowance,
        textured=textured,
        progress=lambda share: tell("pressing", 0.1 + 0.4 * share),
    )
    tell("drawing the push curve", 0.5)
    report = report_from_face(
        job,
        mapped(REPORT_DPI),
        allowance=allowance,
        textured=textured,
        brief=not full,
        memory=memory,
        progress=lambda share: tell("pressing over and over", 0.5 + 0.5 * share),
    )
    taken = allowance * job.press.dressed
    return Trial(job, prediction, report, full, taken, scale_top(prediction.pressing))
