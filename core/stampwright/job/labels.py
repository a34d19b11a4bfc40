"""What people call the settings: one table of labels for panels, messages, the ticket and the guide.

A label is the setting's own name in capitals unless the table has another; sections and choices likewise.
"""

from __future__ import annotations

import re

from .job import Job, job_settings
from .materials import MATERIALS
from .settings import Setting

SECTIONS = {"layout": "Artwork", "preflight": "Limits"}
"""Labels of sections that are not called by their name."""

LABELS = {
    "layout.size_by": "Size",
    "layout.width": "Artwork Width",
    "layout.height": "Artwork Height",
    "layout.centre": "Centre By",
    "base.margin": "Edge Margin",
    "base.points": "Outline",
    "printer.line_ratio": "Line Width",
    "printer.layer": "Layer Height",
    "printer.speed_flexible": "Soft Filament",
    "printer.speed_rigid": "Hard Filament",
    "preflight.block_lines": "Lines Block Under",
    "preflight.warn_lines": "Lines Warn Under",
    "preflight.speck": "Speck Under",
    "preflight.dot": "Dot Under",
    "preflight.isolation": "Dot Alone Within",
    "preflight.cover": "Ink Cover",
    "preflight.points_per_mm": "Fine Outline Over",
    "preflight.most_points": "Most Points",
    "preflight.repair_lines": "Thicken Lines",
    "preflight.repair_gaps": "Open Gaps",
    "preflight.repair_specks": "Specks",
    "preflight.repair_spikes": "Round Spikes",
    "ink.spread": "Ink Spread",
    "ink.film": "Ink Film",
    "ink.solid_from": "Solid From",
    "ink.density": "Ink Density",
    "ink.pad_thickness": "Pad Thickness",
    "ink.pad_stiffness": "Pad Stiffness",
    "ink.pad_force": "Push on the Pad",
    "press.force": "Push",
    "press.off_centre_x": "Off Centre, Right",
    "press.off_centre_y": "Off Centre, Up",
    "press.turning": "Tilting",
    "press.dressing_done": "Dressed",
    "press.bead_turn": "Bead Turn",
    "press.bedding": "Bedding",
    "die.dressing": "To Dress Off",
    "die.compensate_spread": "Draw In by Ink Spread",
    "die.walls": "Printed Outlines",
    "face.depth": "Texture Depth",
    "face.strength": "Texture Strength",
    "face.scale": "Texture Size",
    "face.turn": "Texture Turn",
    "face.picture_width": "Picture Width",
    "face.screen_spacing": "Dot Spacing",
    "backing.walls": "Printed Outlines",
    "backing.grooves": "Glue Grooves",
    "cushion.stiffness": "Stiffness",
    "handle.grip_width": "Grip Width",
    "handle.hollow_wall": "Hollow's Wall",
    "handle.walls": "Printed Outlines",
    "price.die_per_kg": "Die Filament",
    "price.backing_per_kg": "Backing Filament",
    "price.handle_per_kg": "Handle Filament",
    "tracing.dpi": "Resolution",
    "tracing.width": "True Width",
    "tracing.brightness": "Ink Under",
    "tracing.dust": "Dust Under",
    "tracing.screen_spacing": "Dot Spacing",
    "tracing.double_outlines": "Double Lines",
}
"""Labels of settings that are not called by their name."""

UNITS = {"deg": "°", "1/mm": "per mm"}
"""How units are shown that are written in other ways."""

SHARES = {
    "printer.line_ratio": "× nozzle",
    "preflight.block_lines": "line widths",
    "preflight.warn_lines": "line widths",
    "press.dressing_done": "%",
    "price.die_per_kg": "per kg",
    "price.backing_per_kg": "per kg",
    "price.handle_per_kg": "per kg",
}
"""What plain numbers are a share or a multiple of, and units that hang on another setting."""

CHOICES = {key: material.label for key, material in MATERIALS.items()}
"""Labels of choices that are not called by their name."""

SETTINGS: dict[str, Setting] = {path: about for path, _, about in job_settings(Job())}
"""What is known of each setting of a job, by its path."""


def label_of(path: str) -> str:
    """Return the label of a setting.

    >>> label_of("press.force"), label_of("base.corner_radius")
    ('Push', 'Corner Radius')
    """
    return LABELS.get(path) or _titled(path.rpartition(".")[2])


def unit_of(path: str) -> str:
    """Return the unit of a setting as people read it, or what it is a share of; nothing where there is none.

    >>> unit_of("layout.turn"), unit_of("printer.line_ratio"), unit_of("die.material")
    ('°', '× nozzle', '')
    """
    unit = SETTINGS[path].unit
    return SHARES.get(path) or UNITS.get(unit, unit)


def section_label(section: str) -> str:
    """Return the label of a section.

    >>> section_label("layout"), section_label("handle")
    ('Artwork', 'Handle')
    """
    return SECTIONS.get(section) or _titled(section)


def choice_label(choice: str) -> str:
    """Return the label of a choice.

    >>> choice_label("tpu-95a"), choice_label("one-piece")
    ('TPU 95A', 'One Piece')
    """
    return CHOICES.get(choice) or _titled(choice)


def full_label(path: str) -> str:
    """Return the label of a setting with that of its section before it.

    >>> full_label("press.force")
    'Press: Push'
    """
    section, _, name = path.rpartition(".")
    return f"{section_label(section)}: {label_of(path)}" if section and name else label_of(path)


def in_labels(words: str) -> str:
    """Return a message with every setting in it named by its label, for those who see panels or paper and no job.

    >>> in_labels("Set handle.index to none, or raise die.floor; see ticket.html")
    'Set Handle: Index to none, or raise Die: Floor; see ticket.html'
    """
    return re.sub(r"\b[a-z]+\.[a-z_]+\b", lambda path: _full_label(path.group()), words)


def _full_label(path: str) -> str:
    return full_label(path) if path in SETTINGS else path


def _titled(name: str) -> str:
    return name.replace("-", " ").replace("_", " ").title()
