"""Times the press on a 50 mm round mark, and the full solver beside two independent ones on the same problem.

With ``--cpu`` the processor's time is told instead of the clock's, with ``--long`` a peer presses at 600 dpi too, which
takes it minutes. The peers know half-spaces only: beside them, the full solver presses the same printed face on a
half-space, and how far the pressures differ is told with the times.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from time import perf_counter, process_time
from typing import TypeVar

import numpy as np
from stampwright import make_stamp, read_artwork
from stampwright.job import Job
from stampwright.job.written.files import read_job
from stampwright.press import try_on_paper
from stampwright.press.contact.bounded import Bed, press_on_bed
from stampwright.press.contact.elastic import ElasticSurface
from stampwright.press.contact.push import Places, Push
from stampwright.press.faces.printed import dressed, face_of, texture_of
from stampwright.press.impression import HeightMap
from stampwright.press.inking.ink import ink_of
from stampwright.press.inking.printing import ink_impression
from stampwright.press.prediction import stated_conditions
from stampwright.press.pushing.pressing import push, set_up
from stampwright.solids import Solid

from ..references.half_spaces import half_space, periodic_half_space

SHARED = Path(__file__).resolve().parents[2] / "shared"
YOUNG, POISSON, FORCE = 28.8, 0.48, 60.0

clock = process_time if "--cpu" in sys.argv else perf_counter

Made = TypeVar("Made")


DRESSINGS = (0.0, 0.05, 0.2)
"""How much is taken off the face, mm: it touches in spots, in a part, and all over."""


def main() -> None:
    """Measure and print the tables."""
    job = read_job(SHARED / "jobs" / "ownership-mark.toml")
    stamp = make_stamp(job, read_artwork(SHARED / "artwork" / "ownership-mark.svg"))
    die, inked = stamp.die, stamp.inked
    print(f"A round mark, {job.base.width:g} mm, from its die; seconds ({clock.__name__})")
    faces = {dpi: measure(job, die, dpi) for dpi in (200, 300, 600)}
    _, quick = timed(lambda: try_on_paper(job, die, inked, meant=inked, allowance=job.die.dressing))
    print(f"\nprint, push curve and reach together, as live work has them: {quick:.2f}")
    print(f"\n{'dpi':>5} {'peer':>17} {'ours':>8} {'its own':>8} {'ratio':>7} {'differs':>9}")
    long = ((600, tamaas),) if "--long" in sys.argv else ()
    for dpi, peer in ((200, contact_mechanics), (300, contact_mechanics), (200, tamaas), (300, tamaas), *long):
        height = _bare(faces[dpi])
        expected, its_own = timed(lambda peer=peer, height=height, dpi=dpi: peer(height, faces[dpi].pitch), repeats=1)
        surface = half_space if peer is contact_mechanics else periodic_half_space
        found, ours = timed(
            lambda surface=surface, height=height, dpi=dpi: press(
                surface(height.shape, faces[dpi].pitch, YOUNG, POISSON, "float32"), height, faces[dpi].pitch
            ),
            repeats=1,
        )
        differs = np.linalg.norm(found - expected) / np.linalg.norm(expected)
        print(
            f"{dpi:5} {peer.__name__:>17} {ours:8.2f} {its_own:8.2f} {ours / its_own:7.2f} {differs:9.1e}", flush=True
        )


def measure(job: Job, die: Solid, dpi: float) -> HeightMap:
    """Time every stage of a press at one resolution, print it, and return the face dressed by half."""
    conditions, ink = stated_conditions(job), ink_of(job.ink)
    ideal, reading = timed(lambda: face_of(die, dpi=dpi, dressing=job.die.dressing))
    print(f"\n{dpi} dpi: face read in {reading:.3f}")
    print(f"{'dressed':>9} {'set up':>8} {'springs':>8} {'full':>8} {'ink':>8} {'touching':>9}")
    for depth in DRESSINGS:
        face = dressed(ideal, texture_of(job.printer, job.die, job.press), depth)
        rig, setting = timed(lambda face=face: set_up(face, conditions))
        pressing, springs = timed(lambda rig=rig: push(rig))
        _, full = timed(lambda rig=rig: push(rig, solver="full"), repeats=2)
        _, inking = timed(lambda pressing=pressing: ink_impression(pressing, ink))
        share = float(pressing.touching[face.face].mean())
        print(f"{depth:7} mm {setting:8.3f} {springs:8.3f} {full:8.3f} {inking:8.3f} {share:9.0%}", flush=True)
    return dressed(ideal, texture_of(job.printer, job.die, job.press), DRESSINGS[1])


def timed(work: Callable[[], Made], repeats: int = 5) -> tuple[Made, float]:
    """Return what the work gives and the least time that it took, s: what it costs when nothing else is in its way."""
    took = []
    for _ in range(repeats):
        begun = clock()
        made = work()
        took.append(clock() - begun)
    return made, min(took)


def press(surface: ElasticSurface, height: np.ndarray, pitch: float) -> np.ndarray:
    """Press a face on a surface with the full solver, level."""
    rows, columns = height.shape
    row, column = np.divmod(np.arange(height.size), columns)
    places = Places(height.ravel(), (column + 0.5) * pitch, (row + 0.5) * pitch, pitch**2)
    bed = Bed(surface, np.arange(height.size), np.zeros(height.size))
    return press_on_bed(places, bed, Push(force=FORCE), tolerance=1e-4).pressure.reshape(rows, columns)


def contact_mechanics(height: np.ndarray, pitch: float) -> np.ndarray:
    """Press a face that stands alone with ContactMechanics."""
    from ContactMechanics import FreeFFTElasticHalfSpace
    from ContactMechanics.Systems import NonSmoothContactSystem
    from SurfaceTopography import Topography

    size = (height.shape[0] * pitch, height.shape[1] * pitch)
    substrate = FreeFFTElasticHalfSpace(height.shape, YOUNG / (1 - POISSON**2), size)
    system = NonSmoothContactSystem(substrate, Topography(height, size))
    system.minimize_proxy(external_force=FORCE, pentol=1e-5, maxiter=3000)
    return np.maximum(system.force[: height.shape[0], : height.shape[1]], 0.0) / pitch**2


def tamaas(height: np.ndarray, pitch: float) -> np.ndarray:
    """Press a face that repeats without end with tamaas, to the tolerance that comes as near as ours does."""
    import tamaas as tm

    tm.set_log_level(tm.LogLevel.error)
    rows, columns = height.shape
    model = tm.Model(tm.model_type.basic_2d, [rows * pitch, columns * pitch], [rows, columns])
    model.E, model.nu = YOUNG, POISSON
    tm.PolonskyKeerRey(model, height, 1e-5).solve(FORCE / (height.size * pitch**2))
    return np.array(model.traction)


def _bare(face: HeightMap) -> np.ndarray:
    """Return heights that every solver takes: all finite, a square of even size."""
    height = np.where(face.face, face.height, -face.relief).astype(np.float64)
    size = min(height.shape) // 2 * 2
    return np.ascontiguousarray(height[:size, :size])


if __name__ == "__main__":
    main()
