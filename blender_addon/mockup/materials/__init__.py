"""Procedural materials of the stamp and what lies round it; nothing comes from outside."""

from .filaments import FINISHES, Finish, Printed, build_filament, set_filament
from .palette import Rgba, colour, colours_of, linear
from .shown import to_be_seen
from .surroundings import build_felt, build_ground, build_paper, build_tin, fade_ground

__all__ = [
    "FINISHES",
    "Finish",
    "Printed",
    "Rgba",
    "build_felt",
    "build_filament",
    "build_ground",
    "build_paper",
    "build_tin",
    "colour",
    "colours_of",
    "fade_ground",
    "linear",
    "set_filament",
    "to_be_seen",
]
