"""Procedural materials of the stamp and what lies round it; nothing comes from outside."""

from .filaments import FINISHES, Finish, Printed, build_filament, set_filament
from .palette import Colour, colour, colours_of
from .surroundings import build_felt, build_ground, build_paper, build_tin

__all__ = [
    "FINISHES",
    "Colour",
    "Finish",
    "Printed",
    "build_felt",
    "build_filament",
    "build_ground",
    "build_paper",
    "build_tin",
    "colour",
    "colours_of",
    "set_filament",
]
