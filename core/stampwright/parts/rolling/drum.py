"""A roller's drum: the hard cylinder that its die is drawn over, bored for the axle."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ...curved import Bend
from ...job.sections.bending import BendSection
from ...job.sections.parts import BackingSection
from ...solids import Solid, revolve

_CHAMFER = 0.6  # mm; so that the die slips on


def build_drum(bend: Bend, section: BendSection, backing: BackingSection) -> Solid | None:
    """Return the drum lying on z = 0, its axis along the die's, or None when there is to be none.

    It is as long as the roller is wide, and ``backing.clearance`` thinner all round than the die is inside. Raises
    :class:`~stampwright.errors.SolidError` when it comes to nothing.
    """
    if backing.form != "plate":
        return None
    outside, bore, long = bend.inner - backing.clearance, section.axle / 2.0 + section.play, section.band
    chamfer = min(_CHAMFER, (outside - bore) / 3.0, long / 4.0)
    profile = [
        (bore, 0.0),
        (outside - chamfer, 0.0),
        (outside, chamfer),
        (outside, long - chamfer),
        (outside - chamfer, long),
        (bore, long),
    ]
    turned = revolve(profile, name="backing")
    x, y, z = turned.vertices.T
    places = np.column_stack((x, z - long / 2.0, 0.0 - y))
    lying = replace(bend, lift=float(np.float32(-places[:, 2].min()))).placed(places, "lying")
    lying[:, 2] = np.maximum(lying[:, 2], 0.0)
    return Solid("backing", lying.astype(np.float32).astype(np.float64), turned.triangles)
