"""Textured faces: height maps in the paper frame, a face dense enough to bear them, and reading a sculpt back."""

from .dense import FACE, FLANK, FLOOR, REST, SET_NAMES, UPRIGHT, DenseDie, raise_dense
from .face_map import FaceMap, untouched
from .files import face_map_bytes, read_face_map, write_face_map
from .graining import Printer, lay_picture, make_grain
from .grains import GRAINS
from .reading import Sculpt, read_sculpt

__all__ = [
    "FACE",
    "FLANK",
    "FLOOR",
    "GRAINS",
    "REST",
    "SET_NAMES",
    "UPRIGHT",
    "DenseDie",
    "FaceMap",
    "Printer",
    "Sculpt",
    "face_map_bytes",
    "lay_picture",
    "make_grain",
    "raise_dense",
    "read_face_map",
    "read_sculpt",
    "untouched",
    "write_face_map",
]
