"""Textured faces: height maps in the paper frame, a face dense enough to bear them, and reading a sculpt back."""

from .dense import FACE, FLANK, FLOOR, REST, SET_NAMES, UPRIGHT, DenseDie, raise_dense
from .face_map import FaceMap
from .reading import Sculpt, read_sculpt

__all__ = [
    "FACE",
    "FLANK",
    "FLOOR",
    "REST",
    "SET_NAMES",
    "UPRIGHT",
    "DenseDie",
    "FaceMap",
    "Sculpt",
    "raise_dense",
    "read_sculpt",
]
