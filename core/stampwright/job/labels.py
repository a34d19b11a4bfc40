"""What people call the settings: one table of labels for panels, messages, the ticket and the guide.

A label is the setting's own name in capitals unless the table has another; panels and choices likewise.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from .job import Job, job_settings
from .materials import MATERIALS
from .settings import Setting
from .written.old_names import current_path

PANELS = {
    "layout": "Artwork",
    "tracing": "Artwork",
    "preflight": "Limits and Repair",
    "ink": "Press",
    "ink.spread": "Die",
    "cushion": "Backing",
    "bend": "Base",
    "register": "Inks in Register",
}
"""Panels that sections, or single settings, stand in where that is not the panel of the section's own name."""

LABELS = {
    "layout.size_by": "Size",
    "layout.centre": "Centre By",
    "printer.layer": "Layer Height",
    "printer.speed_flexible": "Speed Flexible",
    "printer.speed_rigid": "Speed Rigid",
    "printer.line_ratio": "Line Width",
    "printer.hard_line_ratio": "Hard Line Width",
    "preflight.block_lines": "Blocks Under",
    "preflight.warn_lines": "Warns Under",
    "preflight.least_gap": "Gap Under",
    "preflight.speck": "Speck Under",
    "preflight.dot": "Dot Under",
    "preflight.isolation": "Alone Within",
    "preflight.cover": "Ink Cover",
    "preflight.points_per_mm": "Points per mm",
    "preflight.repair": "Repair",
    "preflight.repair_at": "Repair",
    "preflight.repair_lines": "Thicken Lines",
    "preflight.repair_gaps": "Open Gaps",
    "preflight.repair_specks": "Specks",
    "preflight.repair_by": "Lines By",
    "preflight.repair_to": "Lines Up To",
    "preflight.repair_spikes": "Round Spikes",
    "ink.spread": "Ink Spread",
    "ink.colour": "Ink Colour",
    "ink.film": "Ink Film",
    "ink.solid_from": "Ink Solid At",
    "ink.density": "Ink Density",
    "ink.pad_force": "Pad Push",
    "ink.pad_pressure": "Pad Push Max",
    "press.force": "Push",
    "press.pressure": "Push Max",
    "press.line_force": "Rolling",
    "press.off_centre_x": "Off Centre X",
    "press.off_centre_y": "Off Centre Y",
    "press.turning": "Tilting",
    "press.dressing_done": "Dressed",
    "press.bow": "Face Bow",
    "press.bead_turn": "Face Bead Turn",
    "press.bedding": "Bedding Thickness",
    "bend.form": "Bend",
    "bend.radius": "Bend Radius",
    "bend.size_by": "Round By",
    "bend.turns": "Repeats Round",
    "bend.band": "Roller Width",
    "bend.stands": "Printed",
    "bend.play": "Axle Play",
    "die.compensate_spread": "Draw In by Ink Spread",
    "die.walls": "Printed Outlines",
    "face.scale": "Size",
    "face.screen_spacing": "Dot Spacing",
    "backing.walls": "Printed Outlines",
    "cushion.thickness": "Cushion",
    "handle.hollow_wall": "Hollow Wall",
    "handle.walls": "Printed Outlines",
    "price.die_per_kg": "Die",
    "price.backing_per_kg": "Backing",
    "price.handle_per_kg": "Handle",
    "price.machine_per_hour": "Machine",
    "price.hand_minutes": "By Hand",
    "price.hand_per_hour": "Wage",
    "price.margin": "Profit",
    "tracing.ink_by": "Ink Is",
    "tracing.ink_darker_than": "Darker Than",
    "tracing.ink_colours": "Ink Colours",
    "tracing.ink_layers": "Layers",
    "tracing.dpi": "Resolution",
    "tracing.width": "True Width",
    "tracing.brightness": "Ink Under",
    "tracing.dust": "Dust Under",
    "tracing.screen_spacing": "Dot Spacing",
    "tracing.double_outlines": "Double Lines",
    "backing.key": "Key for Gauge",
    "register.gauge": "Corner Gauge",
    "register.clearance": "Gauge Play",
    "register.sheet": "Sheet Play",
    "register.inset": "From the Edge",
    "register.by_hand": "Hand Miss",
    "register.measured": "Measured Miss",
    "register.trapped": "Trap Inks",
    "register.marks": "Register Marks",
}
"""Labels of settings that are not called by their name."""

UNITS = {"deg": "°"}
"""How units are shown that are written in other ways."""

MULTIPLES = {
    "printer.line_ratio": "×",
    "preflight.block_lines": "×",
    "preflight.warn_lines": "×",
    "preflight.points_per_mm": "",
    "price.die_per_kg": "per kg",
    "price.backing_per_kg": "per kg",
    "price.handle_per_kg": "per kg",
    "price.machine_per_hour": "per h",
    "price.hand_per_hour": "per h",
}
"""What is shown in place of a unit: of multiples, of what the label says already, and where it hangs on the job."""

BUTTONS = {"name", "preflight.repair", "preflight.repair_at", "preflight.accept"}
"""Settings that stand by themselves: buttons, and the name."""

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
    """Return the unit of a setting as people read it, or what stands in its place; nothing where there is none.

    >>> unit_of("layout.turn"), unit_of("printer.line_ratio"), unit_of("die.material")
    ('°', '×', '')
    """
    unit = SETTINGS[path].unit
    return MULTIPLES[path] if path in MULTIPLES else UNITS.get(unit, unit)


def labelled(path: str) -> str:
    """Return the label of a setting with its unit behind it, where it has one.

    >>> labelled("press.force"), labelled("die.material")
    ('Push (N)', 'Material')
    """
    unit = unit_of(path)
    return f"{label_of(path)} ({unit})" if unit else label_of(path)


def panel_of(path: str) -> str:
    """Return the panel that a setting stands in.

    >>> panel_of("layout.turn"), panel_of("ink.spread"), panel_of("handle.height")
    ('Artwork', 'Die', 'Handle')
    """
    section = path.partition(".")[0]
    return PANELS.get(path) or PANELS.get(section) or _titled(section)


def choice_label(choice: str) -> str:
    """Return the label of a choice.

    >>> choice_label("tpu-95a"), choice_label("one-piece")
    ('TPU 95A', 'One Piece')
    """
    return CHOICES.get(choice) or _titled(choice)


def full_label(path: str, spoken: Callable[[str], str] = str) -> str:
    """Return the label of a setting with its panel before it; what a button does is called by the button.

    ``spoken``: what says a label in another language.

    >>> full_label("press.force"), full_label("preflight.repair")
    ('Press: Push', 'Repair')
    """
    label = spoken(label_of(path))
    return label if path in BUTTONS else f"{spoken(panel_of(path))}: {label}"


def in_labels(words: str, spoken: Callable[[str], str] = str) -> str:
    """Return a message with every setting in it named by its label, for those who see panels or paper and no job.

    ``spoken``: what says a label in another language.

    >>> in_labels("Set handle.index to none, or raise die.floor; see ticket.html")
    'Set Handle: Index to none, or raise Die: Floor; see ticket.html'
    """
    return re.sub(r"\b[a-z]+\.[a-z_]+\b", lambda path: _full_label(path.group(), spoken), words)


def _full_label(path: str, spoken: Callable[[str], str]) -> str:
    return full_label(current, spoken) if (current := current_path(path)) in SETTINGS else path


def _titled(name: str) -> str:
    return name.replace("-", " ").replace("_", " ").title()
