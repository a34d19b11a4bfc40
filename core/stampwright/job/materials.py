"""Filaments, and what is known of each, every figure with its source."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Material:
    """One filament.

    ``about`` says in a few words what it is good for.

    ``density`` in g/cm³; ``shore_a`` is the nominal hardness of a flexible filament, None for a hard one;
    ``nozzle`` and ``bed`` are temperature ranges in degrees Celsius; ``volume_rate`` is the most that the feed
    takes, mm³/s. ``stiffness`` is the span of Young's modulus of a hard filament, MPa; that of a flexible one follows
    from its hardness. ``source`` names where the figures come from.
    """

    key: str
    label: str
    about: str
    flexible: bool
    density: float
    shore_a: float | None
    nozzle: tuple[int, int]
    bed: tuple[int, int]
    volume_rate: float
    source: str
    stiffness: tuple[float, float] | None = None
    poisson: float = 0.48


MATERIALS: dict[str, Material] = {
    material.key: material
    for material in (
        Material(
            key="tpu-95a",
            label="TPU 95A",
            about="Soft: the usual die, 95 Shore A",
            flexible=True,
            density=1.22,
            shore_a=95.0,
            nozzle=(220, 240),
            bed=(30, 50),
            volume_rate=3.2,
            source="density, 3.2 mm³/s and temperatures: open material and process profiles for 95A TPU",
        ),
        Material(
            key="tpu-85a",
            label="TPU 85A",
            about="Softer: for rough paper, 85 Shore A; harder to feed",
            flexible=True,
            density=1.20,
            shore_a=85.0,
            nozzle=(220, 240),
            bed=(30, 50),
            volume_rate=2.4,
            source="density: low end of the range 1.20 to 1.25 printed for TPU; 2.4 mm³/s from memory",
        ),
        Material(
            key="pla",
            label="PLA",
            about="Hard and easy to print; softens from 60 °C",
            flexible=False,
            density=1.24,
            shore_a=None,
            nozzle=(200, 220),
            bed=(50, 60),
            volume_rate=12.0,
            source="density: within 1.22 to 1.26 as printed for PLA; modulus: 3 to 4 GPa printed flat, from 1.6 GPa "
            "across the layers of a matte grade (data sheets); the rest common practice",
            stiffness=(1600.0, 4000.0),
            poisson=0.35,
        ),
        Material(
            key="petg",
            label="PETG",
            about="Hard, tougher, and stands more heat",
            flexible=False,
            density=1.27,
            shore_a=None,
            nozzle=(230, 250),
            bed=(70, 85),
            volume_rate=8.0,
            source="density: within 1.25 to 1.29 as printed for PETG; modulus: 2 to 3 GPa as printed (material table); "
            "the rest common practice",
            stiffness=(2000.0, 3000.0),
            poisson=0.38,
        ),
    )
}

FILAMENT_DIAMETER = 1.75
"""Diameter of filament on the spool, mm (common practice)."""
