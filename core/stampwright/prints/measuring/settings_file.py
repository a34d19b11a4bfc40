"""What was measured as a settings file that jobs take, with every figure, its spread, and the prints it is from."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

from ...job.measured import FORMAT_VERSION, KIND
from ...job.written.tables import as_toml
from .face_shape import FaceShape
from .gathering import Figure, MeasuredPrinter


def settings_toml(measured: MeasuredPrinter) -> str:
    """Return the settings file as TOML; :func:`~stampwright.job.measured.read_measured` reads it."""
    data = measured_as_data(measured)
    lines = [
        "# Measured on prints of a test die. A figure with a setting replaces that of a job:",
        "# stampwright make mark.svg -o my-stamp --with this-file.toml",
    ]
    lines += [f"{name} = {as_toml(value)}" for name, value in data.items() if not isinstance(value, list)]
    lines += [f"notes = {as_toml(data['notes'])}"] if data["notes"] else []
    for name in ("prints", "figures"):
        for table in data[name]:
            lines += ["", f"[[{name}]]", *(f"{key} = {as_toml(value)}" for key, value in table.items())]
    return "\n".join(lines) + "\n"


def measured_as_data(measured: MeasuredPrinter) -> dict[str, Any]:
    """Return what was measured as plain data; lengths in mm."""
    chart = measured.readings[0].chart
    return {
        "format": FORMAT_VERSION,
        "kind": KIND,
        "test_die": chart.says,
        "size": chart.size,
        "line_width": chart.line_width,
        "notes": list(measured.notes),
        "prints": [_print_as_data(measured, at) for at in range(len(measured.readings))],
        "figures": [_figure_as_data(figure) for figure in measured.figures],
    }


def _print_as_data(measured: MeasuredPrinter, at: int) -> dict[str, Any]:
    reading, shape = measured.readings[at], measured.shapes[at]
    told: dict[str, Any] = {
        "scan": Path(reading.scan).name,
        "scale": "taken from the chart" if reading.scale is None else reading.scale.source,
        "dpi": round(reading.view.pixels_per_mm() * 25.4, 1),
        "spread": round(reading.mean_spread, 4),
        "raggedness": round(reading.raggedness, 4),
        "blurriness": round(reading.blurriness, 4),
        "void": round(reading.void, 4),
        "density": round(reading.density, 3),
        "covers_drawn": [drawn for drawn, _ in reading.covers],
        "covers_printed": [round(printed, 3) for _, printed in reading.covers],
    }
    for kind in ("lines", "gaps"):
        for turn, rungs in getattr(reading, kind).items():
            told[f"{kind}_at_{turn:.0f}"] = [round(share, 3) for share in rungs.shares]
    told["widths"] = [round(width, 3) for width in reading.lines[0.0].widths]
    for name in ("least_dot", "least_hole", "push"):
        if (value := getattr(reading, name)) is not None:
            told[name] = round(value, 3)
    if reading.size is not None:
        told["size_across"], told["size_up"] = (round(each, 5) for each in reading.size)
    if shape is not None:
        told |= _face_as_data(shape)
    return told


def _face_as_data(shape: FaceShape) -> dict[str, Any]:
    """Return what one print tells of the face, and of what it does not tell, the most that it can be."""
    data: dict[str, Any] = {}
    for name, figure in (("bow", shape.bow), ("tilt_right", shape.rise[0]), ("tilt_up", shape.rise[1])):
        if figure.told:
            data[name] = round(figure.value, 5)
        elif math.isfinite(figure.most):
            data[f"{name}_less_than"] = _above(figure.most)
    return data


def _above(value: float) -> float:
    """Return a bound no finer than a hundredth of a micrometre, and never rounded under itself."""
    return math.ceil(value * 1e5) / 1e5


def _figure_as_data(figure: Figure) -> dict[str, Any]:
    told: dict[str, Any] = {"name": figure.name}
    if figure.setting:
        told["setting"] = figure.setting
    # As fine as it is known: a micrometre, and of pressures what is left of one.
    digits = {"MPa": 6, "mm": 5 if math.isfinite(figure.most) else 3}.get(figure.unit, 4)
    for name in ("value", "low", "high", "deviation"):
        told[name] = round(getattr(figure, name), digits)
    if not figure.told:
        told["told"] = False
        if math.isfinite(figure.most):
            told["less_than"] = _above(figure.most)
    return {**told, "unit": figure.unit, "prints": figure.prints, "basis": figure.basis}
