"""A toolpath in words: what it lays, how long that takes, and what it has of the art."""

from __future__ import annotations

from ..job.materials import Material
from ..likeness import likeness_in_words
from ..parts.measures import in_hours
from .examining import Examined


def told_of(examined: Examined, material: Material, *, spread: float = 0.0) -> list[str]:
    """Return in lines what a toolpath is and prints; ``material``: that it is of, ``spread``: of the ink, mm."""
    mass = examined.volume * material.density / 1000.0
    duration, layers = examined.duration, examined.thing.layers
    assumed = f" (assumed: {duration.assumed})" if duration.assumed else ""
    lines = [
        f"{len(layers)} layers of {examined.thing.pitch:.2f} mm, {layers[-1].top:.2f} mm high; layer "
        f"{examined.face_layer} prints, of beads {examined.width:.2f} mm wide",
        f"{in_hours(duration.seconds / 60)} to print{assumed}, heating left out; "
        f"{examined.filament / 1000:.2f} m of filament, {mass:.1f} g if it is {material.label}",
    ]
    if examined.judgement is not None:
        lines.append(f"It prints {likeness_in_words(examined.judgement.likeness, spread)}")
    return lines
